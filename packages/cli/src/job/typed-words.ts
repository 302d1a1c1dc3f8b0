import { describeCells } from '@ferrule/engine';
import { wrap } from '../terminal/wrap.ts';
import { writeFact, writeInstrument } from './describe-fact.ts';
import type { Session } from './session.ts';
import { readInstrument } from './set-up.ts';

/** What a typed word leads to. */
export type Outcome = 'go-on' | 'show-again' | 'quit';

/** A word that can be typed at any question, whatever is asked for. */
export interface TypedWord {
  readonly word: string;
  /** What stands after it. Without one, nothing does. */
  readonly takes?: string;
  readonly does: string;
  act(session: Session, rest: string): Outcome | Promise<Outcome>;
}

const FACTS_SHOWN = 15;

/** Every word that can be typed besides an answer, in the order in which `?` lists them. */
export const asides: readonly TypedWord[] = [
  {
    word: 'note',
    takes: 'TEXT',
    does: 'adds a remark',
    act: (session, text) => given(session, { command: 'note', text }),
  },
  {
    word: 'strike',
    takes: 'NUMBER REASON',
    does: 'strikes the fact of this number; it stays visible, and what relied on it is open again',
    act: (session, rest) => {
      const [, number = '', reason = ''] = /^(\d*)\s*(.*)$/s.exec(rest) ?? [];
      if (number === '') return told(session, 'Say which: strike NUMBER REASON. facts lists the numbers.');
      return given(session, { command: 'strike', target: Number(number), reason });
    },
  },
  {
    word: 'park',
    takes: 'REASON',
    does: 'leaves the job for later, in a state in which it may be left',
    act: (session, reason) => {
      const { parking } = session.plan;
      if (parking !== undefined && reason === '') {
        session.say(wrap(parking.instructions, '  Before you leave: ', '  '));
        return told(session, 'When that is done, type park and the reason.');
      }
      const done = given(session, { command: 'park', reason });
      if (parking !== undefined && session.job.control.parked)
        session.say(wrap(parking.instructions, '  Before you leave: ', '  '));
      return done;
    },
  },
  {
    word: 'abandon',
    takes: 'REASON',
    does: 'closes the job unfinished, for good',
    act: (session, reason) => given(session, { command: 'abandon', reason }),
  },
  {
    word: 'who',
    takes: '[NAME]',
    does: 'lists the people of this job; with a name, that person acts from now on',
    act: who,
  },
  {
    word: 'instruments',
    does: 'lists the instruments of this job',
    act: (session) => {
      for (const used of session.job.instruments)
        session.say(`  ${writeInstrument(session.plan, used)} (${used.kind})`);
      return 'go-on';
    },
  },
  {
    word: 'equip',
    takes: 'KIND NUMBER DATE',
    does: 'takes another instrument into use',
    act: equip,
  },
  {
    word: 'facts',
    takes: '[all]',
    does: `lists the last ${FACTS_SHOWN} facts with their numbers; with all, every one`,
    act: (session, rest) => {
      const { facts } = session.job;
      for (const fact of rest === 'all' ? facts : facts.slice(-FACTS_SHOWN))
        session.say(writeFact(session.plan, fact));
      return 'go-on';
    },
  },
  {
    word: 'where',
    does: 'shows again where the job stands, with the state of the engine',
    act: (session) => {
      const cells = describeCells(session.plan, session.job.control);
      const tracked = session.plan.cells
        .filter((cell) => cell.cell === 'state')
        .map((cell) => `${cell.name} ${cells.get(cell.name) ?? ''}`);
      if (tracked.length > 0) session.say(wrap(tracked.join(', '), '  '));
      return 'show-again';
    },
  },
  { word: 'quit', does: 'leaves; the job stays as it is', act: () => 'quit' },
];

/** Words that answer an offer, with what `?` says of them. */
const answerWords = [
  { word: 'understood', does: 'the hazards are read and understood' },
  { word: 'done', does: 'the work of this step is done' },
  { word: 'photo', does: 'photo FILE: the picture that this step asks for' },
  { word: 'omit', does: 'omit REASON: this step does not apply' },
  { word: 'insist', does: 'the unexpected serial number really is on the part' },
  { word: 'witness', does: 'another person has looked at it' },
  { word: 'release', does: 'release concession, rework or witness, and the REASON: leaves a hold' },
  { word: 'resume', does: 'goes on with a parked job' },
  { word: 'close', does: 'closes the finished job' },
] as const;

/** Every word that the terminal knows, for the register of words. */
export const terminalWords: readonly string[] = [...answerWords, ...asides].map((one) => one.word);

export function listWords(session: Session, isFreeText: boolean): void {
  session.say('  Besides what is asked for, these can be typed:');
  for (const { word, takes, does } of asides)
    session.say(wrap(does, `    ${`${word}${takes === undefined ? '' : ` ${takes}`}`.padEnd(24)}`));
  session.say('  Answers to what is asked for:');
  for (const { word, does } of answerWords) session.say(wrap(does, `    ${word.padEnd(24)}`));
  if (isFreeText)
    session.say('  Any text can be the answer here, so put a / before a word that takes more: /note TEXT.');
}

function given(session: Session, command: Parameters<Session['give']>[0]): Outcome {
  session.give(command);
  return 'go-on';
}

function told(session: Session, text: string): Outcome {
  session.say(wrap(text, '  '));
  return 'go-on';
}

function who(session: Session, name: string): Outcome {
  const { persons } = session.job.started;
  if (name === '') {
    for (const { role, person } of persons) {
      const title = session.plan.roles.find((one) => one.id === role)?.title ?? role;
      session.say(`  ${person}, ${title}${person === session.acting ? ' (acts now)' : ''}`);
    }
    return told(session, 'who NAME lets another one act.');
  }
  const named = persons.find((one) => one.person === name) ?? persons.find((one) => one.role === name);
  if (named === undefined)
    return told(
      session,
      `${name} is not in this job. There is ${persons.map((one) => one.person).join(', ')}.`,
    );
  session.acting = named.person;
  return told(session, `${named.person} acts now.`);
}

function equip(session: Session, rest: string): Outcome {
  const [kind = '', ...typed] = rest.split(/\s+/);
  const needed = session.plan.instruments.find((one) => one.id === kind);
  if (needed === undefined) {
    const kinds = session.plan.instruments.map((one) => one.id).join(', ');
    return told(session, `Say what it is: equip KIND NUMBER DATE. Kinds: ${kinds || 'none'}.`);
  }
  const instrument = readInstrument(needed, typed.join(' '));
  if ('wrong' in instrument) return told(session, instrument.wrong);
  return given(session, { command: 'equip', instrument });
}
