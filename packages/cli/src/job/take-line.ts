import type { Command, Offer, Offers } from '@ferrule/engine';
import { holderOf } from '@ferrule/print';
import { folderStore } from '@ferrule/records';
import { wrap } from '../terminal/wrap.ts';
import { askYesNo, yesOrNo } from '../terminal/yes-or-no.ts';
import { photographIn } from './photograph.ts';
import type { Session } from './session.ts';
import { isCondition, isMain, stepAt } from './show-standing.ts';
import { takeOver } from './take-over.ts';
import { asides, listWords, type Outcome } from './typed-words.ts';

type RecordOffer = Extract<Offer, { offer: 'record' }>;

/** Takes one typed line: an answer to what is asked for, or one of the words that can always be typed. */
export async function takeLine(session: Session, now: Offers, line: string): Promise<Outcome> {
  const text = line.trim();
  const main = now.offers.find(isMain);
  const isFreeText = main?.offer === 'record' && main.of === 'field' && main.example === undefined;
  if (text === '?' || text === '/?' || text === 'help') {
    listWords(session, now, isFreeText);
    return 'go-on';
  }
  const answer = main?.offer === 'record' ? answerFor(main, text) : undefined;
  const aside = answer === undefined ? asideIn(text, isFreeText) : undefined;
  if (aside !== undefined) return aside.act(session);
  if (isInsisting(session, text, isFreeText)) return insist(session, text);
  if (main?.offer === 'record' && !isOmission(text, isFreeText)) {
    if (main.of === 'observation' && answer === undefined) return noAnswer(session, main, text);
    const [, over] = /^\/?carry(?:\s+(.*))?$/s.exec(text) ?? [];
    if (main.of === 'reading' && /^\/?carry\b/.test(text)) return takeOver(session, main, over ?? '');
    if (main.of === 'reading' && text === 'done')
      return told(session, 'The work is done; now the value that was read is asked for.');
    const command = { command: 'record', entry: main.entry, value: answer ?? text } as const;
    return main.throughout === undefined
      ? given(session, command)
      : confirmHeld(session, main.throughout, command);
  }
  return offered(session, now, main, text);
}

/** Asks whether what has to hold throughout a reading did; where it did not, nothing is recorded. */
async function confirmHeld(
  session: Session,
  throughout: readonly string[],
  command: Extract<Command, { command: 'record' }>,
): Promise<Outcome> {
  session.say(wrap(`Held during the whole of the reading? ${throughout.join('; ')}`, '  ', '    '));
  const answer = await askYesNo(session.reader, '  yes or no? > ', (line) => session.say(line));
  if (answer === undefined) return 'go-on';
  return given(session, { ...command, held: answer });
}

/** An answer by its name, its number in the list or its words; undefined when it is none of them. */
function answerFor(offer: RecordOffer, text: string): string | undefined {
  const answers = offer.answers ?? [];
  const said = text.toLowerCase();
  const exact = answers.find((one) => one.id === said || one.text.toLowerCase() === said);
  const numbered = /^[1-9]\d?$/.test(text) ? answers[Number(text) - 1] : undefined;
  const truth = yesOrNo(text);
  const word = truth === undefined ? undefined : truth ? 'yes' : 'no';
  return (exact ?? numbered ?? answers.find((one) => one.id === word))?.id;
}

/** What was typed is none of the answers: they are said once more, as they stand on the screen. */
function noAnswer(session: Session, { answers = [] }: RecordOffer, text: string): Outcome {
  const found = text === '' ? 'Nothing was typed.' : `"${text.slice(0, 60)}" is none of the answers.`;
  session.say(wrap(`${found} Nothing has changed. Type 1 to ${answers.length}:`, '  '));
  answers.forEach((answer, index) => {
    session.say(wrap(answer.text, `    ${index + 1}  `));
  });
  return 'go-on';
}

/** A word that can always be typed. Where any text is an answer, one that takes more needs a `/` before it. */
function asideIn(
  text: string,
  isFreeText: boolean,
): { act(session: Session): Outcome | Promise<Outcome> } | undefined {
  const [, slash = '', word = '', rest = ''] = /^(\/?)([a-z-]+)(?:\s+(.*))?$/s.exec(text) ?? [];
  const found = asides.find((one) => one.word === word);
  if (found === undefined) return undefined;
  if (isFreeText && slash === '' && rest !== '') return undefined;
  if (found.takes === undefined && rest !== '') return undefined;
  return { act: (session) => found.act(session, rest.trim()) };
}

/** `omit` answers a record offer in another way than with its value. */
const isOmission = (text: string, isFreeText: boolean): boolean =>
  (isFreeText ? /^\/omit\b/ : /^\/?omit\b/).test(text);

/** `insist` alone always, and with more behind it where something was just refused, or after a `/`. */
const isInsisting = (session: Session, text: string, isFreeText: boolean): boolean =>
  text === 'insist' ||
  /^\/insist\b/.test(text) ||
  (!isFreeText && session.insistable !== undefined && /^insist\b/.test(text));

/** Takes what was just refused; the reason, if one is given, is kept as a note. */
function insist(session: Session, text: string): Outcome {
  const { insistable } = session;
  if (insistable === undefined)
    return told(session, 'There is nothing to insist on. Type the number first; when it is refused, insist.');
  const reason = text.replace(/^\/?insist\s*/, '');
  const isTaken = session.give({ ...insistable, insist: true });
  if (isTaken && reason !== '') session.give({ command: 'note', text: `Insisted: ${reason}` });
  return 'go-on';
}

function offered(
  session: Session,
  now: Offers,
  main: Offer | undefined,
  text: string,
): Outcome | Promise<Outcome> {
  const [, word = '', rest = ''] = /^\/?(\S*)\s*(.*)$/s.exec(text) ?? [];
  const omission = now.offers.find((one) => one.offer === 'omit');
  if (word === 'omit' && omission?.offer === 'omit')
    return given(session, { command: 'omit', step: omission.step, reason: rest });
  if (now.standing === 'on-hold') {
    if (word === 'release') return release(session, now, rest);
    return untyped(session, text, `${waysIn(now)} abandon and the reason closes the job unfinished.`);
  }
  switch (main?.offer) {
    case 'acknowledge':
      if (text === 'understood') return given(session, { command: 'acknowledge', step: main.step });
      return untyped(session, text, 'Type understood when you have read the hazards.');
    case 'done':
      return act(session, main, text, word, rest);
    case 'witness':
      if (text === 'witness') return witness(session, main.step, main.role);
      return untyped(session, text, 'Type who and the name of the witness, then witness.');
    case 'resume':
      if (text === 'resume') return resume(session, main.confirm);
      return untyped(session, text, 'Type resume to go on, or quit to leave.');
    case 'close':
      if (text === 'close') return given(session, { command: 'close' });
      return untyped(session, text, 'Type close when the job is to be closed.');
    default:
      return untyped(session, text, 'Nothing can be done here but what ? lists.');
  }
}

function act(
  session: Session,
  offer: Extract<Offer, { offer: 'done' }>,
  text: string,
  word: string,
  rest: string,
): Outcome {
  const together =
    offer.together === undefined
      ? undefined
      : session.job.persons.find((one) => one.role === offer.together && one.person !== session.acting)
          ?.person;
  const command = {
    command: 'done',
    step: offer.step,
    ...(together === undefined ? {} : { together }),
  } as const;
  if (offer.photograph === true) {
    if (word !== 'photo' || rest === '')
      return untyped(session, text, 'This step asks for a picture: type photo and the path of its file.');
    const found = photographIn(rest);
    if ('wrong' in found) return told(session, found.wrong);
    const { kept } = session.keep;
    const put = kept && folderStore(kept.store).putPhotograph(found.bytes);
    if (put?.refused === 'not-written') return told(session, put.message);
    if (put?.refused !== undefined)
      session.say(wrap(`${put.message} Its digest is recorded; keep the file yourself.`, '  '));
    return given(session, { ...command, photograph: found.photograph });
  }
  if (text.toLowerCase() === 'done') return given(session, command);
  const step = stepAt(session);
  if (step !== undefined && isCondition(step)) {
    const answer = yesOrNo(text);
    if (answer === true) return given(session, command);
    if (answer === false) return told(session, doesNotHold(session));
    return untyped(session, text, 'Type done (or yes) when this holds.');
  }
  return untyped(session, text, 'Type done when the work is done.');
}

/** What to do when a condition does not hold. */
const doesNotHold = ({ keep }: Session): string =>
  `Nothing has changed. Stop, put it right, and then type done. ${
    keep.kept === undefined
      ? 'quit leaves, and this job is not kept.'
      : 'quit leaves, and the job is kept as it stands.'
  } park REASON leaves it for later where the procedure allows it; abandon REASON closes it unfinished.`;

function witness(session: Session, step: string, role: string): Outcome {
  if (!session.give({ command: 'witness', step })) told(session, `who lets ${holderOf(session, role)} act.`);
  return 'go-on';
}

/** The releases that the open hold has, in words that can be typed. */
function waysIn(now: Offers): string {
  const ways = now.offers.flatMap((one) => (one.offer === 'release' ? [`release ${one.by} REASON`] : []));
  return ways.length === 0 ? 'Nothing releases this hold.' : `Say how: ${[...new Set(ways)].join(' or ')}.`;
}

function release(session: Session, now: Offers, rest: string): Outcome {
  const [, by = '', reason = ''] = /^(\S*)\s*(.*)$/s.exec(rest) ?? [];
  if (by !== 'concession' && by !== 'rework' && by !== 'witness') return told(session, waysIn(now));
  if (!session.give({ command: 'release', by, reason }) && reason !== '')
    told(session, 'who NAME lets another person act.');
  return 'go-on';
}

async function resume(
  session: Session,
  confirm: readonly { readonly id: string; readonly text: string }[],
): Promise<Outcome> {
  const confirmed: string[] = [];
  for (const { id, text } of confirm) {
    session.say(wrap(text, '  '));
    const answer = await askYesNo(session.reader, '  yes or no? > ', (line) => session.say(line));
    if (answer === undefined) return 'go-on';
    if (!answer) {
      session.say(
        wrap('The job stays parked. Put this right first, then type resume again; quit leaves.', '  '),
      );
      break;
    }
    confirmed.push(id);
  }
  return given(session, { command: 'resume', confirmed });
}

function given(session: Session, command: Command): Outcome {
  session.give(command);
  return 'go-on';
}

function told(session: Session, text: string): Outcome {
  session.say(wrap(text, '  '));
  return 'go-on';
}

/** Something was typed that is no answer here. */
function untyped(session: Session, text: string, what: string): Outcome {
  const found = text === '' ? 'Nothing was typed.' : `"${text.slice(0, 60)}" means nothing here.`;
  return told(session, `${found} Nothing has changed. ${what} A ? lists what else can be typed.`);
}
