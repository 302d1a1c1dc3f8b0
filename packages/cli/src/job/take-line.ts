import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import type { Command, Offer, Offers } from '@ferrule/engine';
import { wrap } from '../terminal/wrap.ts';
import type { Session } from './session.ts';
import { holderOf, isMain } from './show-standing.ts';
import { asides, listWords, type Outcome } from './typed-words.ts';

type RecordOffer = Extract<Offer, { offer: 'record' }>;

/** Takes one typed line: an answer to what is asked for, or one of the words that can always be typed. */
export async function takeLine(session: Session, now: Offers, line: string): Promise<Outcome> {
  const text = line.trim();
  const main = now.offers.find(isMain);
  const isFreeText = main?.offer === 'record' && main.of === 'field' && main.example === undefined;
  if (text === '?' || text === '/?' || text === 'help') {
    listWords(session, isFreeText);
    return 'go-on';
  }
  const answer = main?.offer === 'record' ? answerFor(main, text) : undefined;
  const aside = answer === undefined ? asideIn(text, isFreeText) : undefined;
  if (aside !== undefined) return aside.act(session);
  if (main?.offer === 'record' && !isAnswerWord(text, isFreeText))
    return given(session, { command: 'record', entry: main.entry, value: answer ?? text });
  return offered(session, now, main, text);
}

/** An answer by its name, its number in the list or its words; undefined when it is none of them. */
function answerFor(offer: RecordOffer, text: string): string | undefined {
  const answers = offer.answers ?? [];
  const exact = answers.find((one) => one.id === text || one.text === text);
  return (exact ?? (/^[1-9]\d?$/.test(text) ? answers[Number(text) - 1] : undefined))?.id;
}

/** A word that can always be typed. Where any text is an answer, one that takes more needs a `/` before it. */
function asideIn(
  text: string,
  isFreeText: boolean,
): { act(session: Session): Outcome | Promise<Outcome> } | undefined {
  const [, slash = '', word = '', rest = ''] = /^(\/?)([a-z]+)(?:\s+(.*))?$/s.exec(text) ?? [];
  const found = asides.find((one) => one.word === word);
  if (found === undefined) return undefined;
  if (isFreeText && slash === '' && rest !== '') return undefined;
  if (found.takes === undefined && rest !== '') return undefined;
  return { act: (session) => found.act(session, rest.trim()) };
}

/** `insist` and `omit` answer a record offer in another way than with its value. */
const isAnswerWord = (text: string, isFreeText: boolean): boolean =>
  text === 'insist' || (isFreeText ? /^\/omit\b/ : /^\/?omit\b/).test(text);

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
  if (text === 'insist') {
    const { unexpected } = session;
    if (unexpected === undefined) return told(session, 'There is nothing to insist on.');
    return given(session, { command: 'record', ...unexpected, insist: true });
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
    case 'release':
      if (word === 'release') return release(session, rest);
      return untyped(session, text, 'Type release, one of the ways, and the reason.');
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
  const { started } = session.job;
  const together =
    offer.together === undefined
      ? undefined
      : started.persons.find((one) => one.role === offer.together)?.person;
  const command = {
    command: 'done',
    step: offer.step,
    ...(together === undefined ? {} : { together }),
  } as const;
  if (offer.photograph === true) {
    if (word !== 'photo' || rest === '')
      return untyped(session, text, 'This step asks for a picture: type photo and the name of its file.');
    const photograph = photographIn(rest);
    return 'wrong' in photograph
      ? told(session, photograph.wrong)
      : given(session, { ...command, photograph });
  }
  if (text === 'done') return given(session, command);
  return untyped(session, text, 'Type done when the work is done.');
}

/** The picture is kept where it is; its digest goes into the record. */
function photographIn(
  path: string,
): { readonly digest: string; readonly name: string } | { readonly wrong: string } {
  try {
    const digest = createHash('sha256').update(readFileSync(path)).digest('hex');
    return { digest: `sha256:${digest}`, name: basename(path) };
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    return { wrong: `The picture ${path} cannot be read (${code}). Nothing was recorded.` };
  }
}

function witness(session: Session, step: string, role: string): Outcome {
  if (!session.give({ command: 'witness', step })) told(session, `who lets ${holderOf(session, role)} act.`);
  return 'go-on';
}

function release(session: Session, rest: string): Outcome {
  const [, by = '', reason = ''] = /^(\S*)\s*(.*)$/s.exec(rest) ?? [];
  if (by !== 'concession' && by !== 'rework' && by !== 'witness')
    return told(
      session,
      'Say how: release concession REASON, release rework REASON or release witness REASON.',
    );
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
    const line = await session.reader.ask('  yes or no? > ');
    if ('end' in line) return 'go-on';
    if (line.text.trim() !== 'yes') break;
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
