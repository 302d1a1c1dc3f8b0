import { runScript, type ScriptRun } from '@ferrule/check';
import { type Fact, type FactBody, referrals } from '@ferrule/engine';
import { replay } from '@ferrule/engine/replay';
import { suitabilityNotes, verdictRows } from '@ferrule/print';
import { makeStore } from '@ferrule/records';
import { describeRotation, writeRotation } from '../crank/show-crank.ts';
import { callFault } from '../pack/open-pack.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import { complain, say, sayJson } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { readAnswers } from './answers-file.ts';
import { betweenSteps } from './between-steps.ts';
import { writeClosing } from './closing.ts';
import { FactLog } from './describe-fact.ts';
import { headingOf, noticeOf } from './heading.ts';
import { type Keep, keepNew, keepNothing, takeUpAgain, type Unkept } from './keep.ts';
import { writeTime } from './occasion.ts';
import { originsOf } from './origins-of.ts';
import { shelfOf } from './read-origin.ts';
import { releaseWordsOf } from './release-of.ts';
import type { NewRunnable, Runnable, RunOptions } from './runnable.ts';
import { keyFor, signKept } from './sign-kept.ts';
import { verdictNotes } from './verdict-notes.ts';
import { writeVerdictTable } from './verdict-table.ts';

/** What stands below a line of the log begins where its words do. */
const LOG_MARGIN = ' '.repeat(14);

/** Runs a new job with the scripted person that a file of answers makes: a line for each fact, then the verdicts. */
export async function runScripted(
  runnable: NewRunnable,
  options: RunOptions & { readonly answers: string },
): Promise<ExitCode> {
  const { plan, digest, opened, list } = runnable;
  const request = { procedure: plan.procedure.id, variant: plan.variant.id };
  const answers = await readAnswers(options.answers, opened, plan, list);
  if ('exitCode' in answers) return answers.exitCode;
  const signing = keyFor(options.key);
  if ('exitCode' in signing) return signing.exitCode;
  const origins = await originsOf(answers, options.answers, shelfOf(runnable.folder));
  if ('exitCode' in origins) return origins.exitCode;
  let keep: Keep = keepNothing;
  if (options.jobs !== undefined) {
    const noStore = makeStore(options.jobs);
    if (noStore !== undefined) return callFault(noStore).exitCode;
    keep = keepNew(options.jobs, runnable);
  }
  const isText = options.format === 'text';
  if (isText) say(`${headingOf(plan, releaseWordsOf(runnable))}\n`);
  const facts: Fact[] = [];
  const log = new FactLog();
  let unkept: Unkept | undefined;
  const run = runScript(plan, answers, {
    bundle: digest,
    onlyNamed: true,
    origins,
    startsAt: writeTime(new Date()),
    onFacts: (batch, job) => {
      unkept ??= keep.add(batch, facts.length);
      if (unkept !== undefined) return;
      const isBegun = facts.length === 0;
      facts.push(...batch);
      if (!isText) return;
      for (const fact of batch) {
        if (options.isBrief === true && !turningPoints.has(fact.fact.kind)) continue;
        say(log.write({ plan, pack: opened.pack, facts }, fact));
        const between = fact.fact.kind === 'reading' ? betweenSteps(plan, fact.fact) : undefined;
        if (between !== undefined) say(wrap(between, `${LOG_MARGIN}Note: `, LOG_MARGIN));
        if (fact.fact.kind === 'judged')
          for (const note of verdictNotes(plan, job, fact.fact, LOG_MARGIN)) say(note);
      }
      if (isBegun)
        for (const note of suitabilityNotes(plan, job.instruments))
          say(wrap(note, `${LOG_MARGIN}Note: `, LOG_MARGIN));
    },
  });
  if (unkept !== undefined) {
    complain(`ferrule: ${unkept.message}`);
    return 2;
  }
  const signed = run.job === undefined ? undefined : signKept(keep, run.job, signing.key);
  if (isText) sayEnd(runnable, keep, facts, run);
  else {
    sayJson({
      pack: plan.pack,
      ...request,
      ...(keep.kept === undefined ? {} : { job: keep.kept.job, file: keep.kept.path }),
      ended: run.ended,
      ...(run.hold === undefined ? {} : { hold: run.hold }),
      ...(run.why === undefined ? {} : { why: run.why }),
      verdicts: verdictRows(plan, facts, run.job),
      ...(run.job === undefined ? {} : { next: referrals(plan, run.job) }),
      ...describeRotation(plan.crank),
      facts,
    });
  }
  if (signed !== undefined) (signed.isSigned && isText ? say : complain)(signed.line);
  return run.ended === 'closed' && signed?.isSigned !== false ? 0 : 1;
}

/** What a short log is made of. */
const turningPoints: ReadonlySet<FactBody['kind']> = new Set([
  'started',
  'judged',
  'held',
  'released',
  'struck',
  'witnessed',
  'closed',
]);

function sayEnd(runnable: Runnable, keep: Keep, facts: readonly Fact[], run: ScriptRun): void {
  const { plan } = runnable;
  const { job } = replay(plan, facts);
  say('');
  if (run.ended === 'closed' && job !== undefined) say(writeClosing(runnable, job));
  else {
    const refusal = run.refusals?.[0];
    const hold = plan.holds.find((one) => one.id === run.hold)?.text ?? run.hold ?? '';
    const why =
      run.ended === 'held'
        ? `a hold which has no answer: ${hold}`
        : `${run.why ?? ''}${refusal === undefined ? '' : ` ${refusal.remedy}`}`;
    say(wrap(`The job stopped, not finished: ${why}`));
    for (const line of noticeOf(plan)) say(line);
    say(`\n${writeVerdictTable(plan, verdictRows(plan, facts, job))}`);
  }
  if (plan.crank.rotation !== undefined) say(`\n${writeRotation(describeRotation(plan.crank))}`);
  if (keep.kept !== undefined) {
    say(`\nThe job is kept in ${keep.kept.path}`);
    if (run.ended !== 'closed') say(`Go on by hand: ${takeUpAgain(keep.kept)}`);
  }
}
