import { type Offer, type OfferedRepeats, offers, referrals } from '@ferrule/engine';
import { suitabilityNotes, verdictRows } from '@ferrule/print';
import { makeStore } from '@ferrule/records';
import type { PrivateKey } from '@ferrule/signing';
import { callFault } from '../pack/open-pack.ts';
import { type ExitCode, INTERRUPTED } from '../terminal/exit-code.ts';
import { type Line, LineReader } from '../terminal/line-reader.ts';
import { printable, sayJson } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { writeClosing } from './closing.ts';
import { headingOf } from './heading.ts';
import { keepNew, keepNothing, takeUpAgain } from './keep.ts';
import { shelfOf } from './read-origin.ts';
import { releaseWordsOf } from './release-of.ts';
import type { Runnable, RunOptions, TakenUp } from './runnable.ts';
import { Session } from './session.ts';
import { setUp } from './set-up.ts';
import { isMain, nothingShown, showStanding } from './show-standing.ts';
import { keyFor, signKept } from './sign-kept.ts';
import { takeLine } from './take-line.ts';
import { unfinishedIn, writeUnfinished } from './unfinished.ts';

type Ended = Line & { readonly end: string };
type Leaving = Ended['end'] | 'quit' | 'closed';

/**
 * Works through a job by hand, one line at a time, on a terminal or a pipe. With the format json the conversation goes
 * to stderr and the job, when it is left, to stdout.
 */
export async function runByHand(
  runnable: Runnable,
  options: RunOptions,
  taken?: TakenUp,
): Promise<ExitCode | typeof INTERRUPTED> {
  const to = options.format === 'json' ? process.stderr : process.stdout;
  const signing = keyFor(options.key);
  if ('exitCode' in signing) return signing.exitCode;
  const reader = new LineReader(to);
  try {
    const noStore = options.jobs === undefined || taken !== undefined ? undefined : makeStore(options.jobs);
    if (noStore !== undefined) return callFault(noStore).exitCode;
    to.write(`${headingOf(runnable.plan, releaseWordsOf(runnable))}\n\n`);
    const session =
      taken === undefined ? await begin(runnable, options, reader, to) : goOn(runnable, taken, reader, to);
    if (typeof session === 'number') return session;
    const leaving = await work(session);
    return leave(runnable, session, options, leaving, signing.key);
  } finally {
    reader.close();
  }
}

async function begin(
  runnable: Runnable,
  { jobs }: RunOptions,
  reader: LineReader,
  to: NodeJS.WriteStream,
): Promise<Session | ExitCode | typeof INTERRUPTED> {
  const { plan, digest, folder, opened, list } = runnable;
  if (jobs !== undefined)
    for (const line of writeUnfinished(jobs, unfinishedIn(jobs))) to.write(`${printable(line)}\n`);
  const hint =
    jobs === undefined ? 'This job is not kept: --jobs STORE would keep it.' : `This job is kept in ${jobs}.`;
  to.write(`${printable(wrap(`${hint} At every question a ? lists what can be typed.`))}\n\n`);
  const begun = await setUp(plan, digest, reader, to, list);
  if ('end' in begun) {
    to.write('\nThe job was not started. Nothing was recorded.\n');
    return begun.end === 'interrupt' ? INTERRUPTED : 0;
  }
  const { started, acting, remarks } = begun;
  let keep = keepNothing;
  if (jobs !== undefined) {
    keep = keepNew(jobs, runnable);
    const unkept = keep.add(started.facts, 0);
    if (unkept !== undefined) return callFault(unkept.message).exitCode;
  }
  const session = new Session(plan, opened.pack, reader, to, {
    job: started.job,
    keep,
    acting,
    list,
    shelf: shelfOf(folder),
  });
  sayNotes(session);
  for (const text of remarks) session.give({ command: 'note', text });
  return session;
}

/** What the instruments of the job are too coarse for. */
function sayNotes(session: Session): void {
  for (const note of suitabilityNotes(session.plan, session.job.instruments))
    session.say(wrap(note, 'Note: ', '  '));
}

function goOn(
  { plan, folder, opened, list }: Runnable,
  taken: TakenUp,
  reader: LineReader,
  to: NodeJS.WriteStream,
): Session {
  const { job, keep } = taken;
  const acting = job.started.persons[0]?.person ?? '';
  const goesOn =
    job.control.closed === undefined
      ? `The job ${keep.kept?.job ?? ''} goes on; ${job.seq} facts are recorded. ${acting} acts. A ? lists what can be typed.`
      : `The job ${keep.kept?.job ?? ''} is closed: nothing more can be done with it. This is how it ended.`;
  to.write(`${printable(wrap(goesOn))}\n`);
  const session = new Session(plan, opened.pack, reader, to, {
    job,
    keep,
    acting,
    list,
    shelf: shelfOf(folder),
  });
  if (job.control.closed === undefined) sayNotes(session);
  return session;
}

async function work(session: Session): Promise<Leaving> {
  let before = nothingShown;
  let isWarned = session.keep.kept !== undefined;
  for (;;) {
    const { shown, now } = showStanding(session, before);
    if (now.standing === 'closed') return 'closed';
    before = shown;
    const main = now.offers.find(isMain);
    const line = await session.reader.ask(`${session.acting}  ${wordFor(main)}> `);
    if ('end' in line) return line.end;
    const outcome = await takeLine(session, now, line.text);
    if (outcome === 'show-again') before = nothingShown;
    if (outcome !== 'quit') continue;
    if (isWarned) return 'quit';
    isWarned = true;
    session.say('  This job is not kept, and leaving loses it. Type quit again to leave.');
  }
}

/** What the prompt asks for, in a word. */
function wordFor(offer: Offer | undefined): string {
  switch (offer?.offer) {
    case 'acknowledge':
      return 'understood? ';
    case 'done':
      return offer.photograph === true ? 'photo? ' : 'done? ';
    case 'record':
      return offer.of === 'observation'
        ? `1 to ${offer.answers?.length ?? 0} `
        : `${whichOf(offer.repeats)}${offer.unit ? `${offer.unit} ` : offer.of === 'reading' ? 'number ' : ''}`;
    case 'witness':
    case 'release':
    case 'resume':
    case 'close':
      return `${offer.offer}? `;
    default:
      return '';
  }
}

const whichOf = (repeats: OfferedRepeats | undefined): string =>
  repeats === undefined ? '' : `reading ${repeats.next} of ${repeats.of}, `;

function leave(
  runnable: Runnable,
  session: Session,
  options: RunOptions,
  leaving: Leaving,
  key: PrivateKey | undefined,
): ExitCode | typeof INTERRUPTED {
  const { plan } = runnable;
  const { job, keep } = session;
  const rows = verdictRows(plan, job.facts, job);
  const signed = keep.isThere() ? signKept(keep, job, key) : undefined;
  if (leaving === 'closed') session.say(`\n${writeClosing(runnable, job)}\n`);
  else session.say(leaving === 'quit' ? '' : '\n');
  if (keep.kept === undefined) {
    if (leaving !== 'closed') session.say('The job was not kept: there was no --jobs STORE.');
  } else if (!keep.isThere()) {
    session.say(
      wrap(
        `The job is not kept any more: ${keep.kept.path} is gone. It was deleted or moved while this terminal ran. If it was moved, put it back; what stands on this screen is in no other file.`,
      ),
    );
  } else {
    session.say(`The job is kept in ${keep.kept.path}`);
    if (signed !== undefined) session.say(wrap(signed.line));
    if (leaving !== 'closed') session.say(`Go on with it: ${takeUpAgain(keep.kept)}`);
  }
  if (options.format === 'json') {
    const { standing } = offers(plan, job);
    sayJson({
      pack: plan.pack,
      procedure: plan.procedure.id,
      variant: plan.variant.id,
      ...(keep.kept === undefined || !keep.isThere() ? {} : { job: keep.kept.job, file: keep.kept.path }),
      standing,
      verdicts: rows,
      next: referrals(plan, job),
      facts: job.facts,
    });
  }
  if (leaving === 'interrupt') return INTERRUPTED;
  return keep.isThere() && signed?.isSigned !== false ? 0 : 1;
}
