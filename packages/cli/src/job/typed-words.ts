import { describeCells, type InstrumentUsed, type Offers } from '@ferrule/engine';
import { holderOf, roleTitle, suitabilityNotes } from '@ferrule/print';
import { wrap } from '../terminal/wrap.ts';
import { askYesNo } from '../terminal/yes-or-no.ts';
import { FactLog, writeInstrument } from './describe-fact.ts';
import type { Session } from './session.ts';
import { fromList, otherThanListed, readInstrument, withListed } from './set-up.ts';
import { offeredOf, writeOffered } from './write-offered.ts';

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

/** The stock of the step that the job is at, or the only one of the procedure. */
function outOfStock(session: Session, size: string, back: boolean): Outcome {
  const { plan, job } = session;
  const node = plan.nodes[job.control.at];
  const here = node?.node === 'step' && node.check?.check === 'stock' ? node.check.selection : -1;
  const stocks = new Set(plan.selections.map((one) => one.stock.id));
  const [only] = stocks.size === 1 ? stocks : [];
  const stock = plan.selections[here]?.stock.id ?? only;
  if (stock === undefined) return told(session, 'Nothing is chosen from stock at this step.');
  return given(session, { command: 'out-of-stock', stock, size, ...(back ? { back } : {}) });
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
    act: strike,
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
    word: 'join',
    takes: 'ROLE NAME',
    does: 'lets another person take a role of this job as well',
    act: join,
  },
  {
    word: 'instruments',
    does: 'lists the instruments of this job',
    act: (session) => {
      const { instruments } = session.job;
      if (instruments.length === 0) return told(session, 'This job has no instruments.');
      for (const used of instruments)
        session.say(wrap(`${writeInstrument(session.plan, used)} (${used.kind})`, '  ', '    '));
      return 'go-on';
    },
  },
  {
    word: 'equip',
    takes: 'KIND NUMBER DATE',
    does: 'takes another instrument into use; the length of a torque wrench may stand behind the date',
    act: equip,
  },
  {
    word: 'length',
    takes: 'LENGTH',
    does: 'says how long the torque wrench of this step is, from its drive to the middle of the grip',
    act: sayLength,
  },
  {
    word: 'used-up',
    takes: 'SIZE',
    does: 'says that a size is not in the drawer, so that another is chosen; restocked SIZE takes it back',
    act: (session, size) => outOfStock(session, size, false),
  },
  {
    word: 'restocked',
    takes: 'SIZE',
    does: 'says that a size is in the drawer again',
    act: (session, size) => outOfStock(session, size, true),
  },
  {
    word: 'allow',
    takes: 'REASON',
    does: 'allows the instrument that was just refused, where the pack gives that concession',
    act: allow,
  },
  {
    word: 'facts',
    takes: '[all]',
    does: `lists the last ${FACTS_SHOWN} facts with their numbers; with all, every one`,
    act: (session, rest) => {
      const { facts } = session.job;
      const log = new FactLog();
      for (const fact of rest === 'all' ? facts : facts.slice(-FACTS_SHOWN))
        session.say(log.write(session, fact));
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
  { word: 'yes', does: 'a condition holds; an answer to yes or no, like no' },
  { word: 'no', does: 'it does not' },
  { word: 'photo', does: 'photo FILE: the picture that this step asks for, by the path of its file' },
  {
    word: 'carry',
    does: 'carry FILE: takes the value over from a closed job, by the path of its record; alone, from the one before',
  },
  { word: 'omit', does: 'omit REASON: this step does not apply' },
  { word: 'insist', does: 'what was just refused is meant so: the unexpected serial number, or the strike' },
  { word: 'witness', does: 'another person has looked at it' },
  { word: 'release', does: 'release concession, rework or witness, and the REASON: leaves a hold' },
  { word: 'resume', does: 'goes on with a parked job' },
  { word: 'close', does: 'closes the finished job' },
] as const;

/** Every word that the terminal knows, for the register of words, which reads it at run time.
 * @public */
export const terminalWords: readonly string[] = [
  ...[...answerWords, ...asides].map((one) => one.word),
  // Goes a question back before a job is started.
  'back',
];

/** The words that answer what is offered now; `insist` where something was just refused. */
function answersTo(session: Session, now: Offers): readonly (typeof answerWords)[number][] {
  const words = new Set<string>(session.insistable === undefined ? [] : ['insist']);
  for (const offer of now.offers) {
    if (offer.offer === 'acknowledge') words.add('understood');
    else if (offer.offer === 'done' && offer.photograph === true) words.add('photo');
    else if (offer.offer === 'record' && offer.carry !== undefined) words.add('carry');
    else if (offer.offer !== 'park' && offer.offer !== 'record') words.add(offer.offer);
    if (offer.offer === 'done' && /^(?:preliminary|afterwards)\//.test(offer.step))
      words.add('yes').add('no');
  }
  return answerWords.filter(({ word }) => words.has(word));
}

/** Lists what can be typed now. */
export function listWords(session: Session, now: Offers, isFreeText: boolean): void {
  session.say('  Besides what is asked for, these can be typed:');
  for (const { word, takes, does } of asides)
    session.say(wrap(does, `    ${`${word}${takes === undefined ? '' : ` ${takes}`}`.padEnd(24)}`));
  const answers = answersTo(session, now);
  if (answers.length > 0) session.say('  Answers to what is asked for:');
  for (const { word, does } of answers) session.say(wrap(does, `    ${word.padEnd(24)}`));
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

/** A strike without a way back is asked for once more. */
async function strike(session: Session, rest: string): Promise<Outcome> {
  const [, number = '', reason = ''] = /^(\d*)\s*(.*)$/s.exec(rest) ?? [];
  if (number === '') return told(session, 'Say which: strike NUMBER REASON. facts lists the numbers.');
  const command = { command: 'strike', target: Number(number), reason } as const;
  if (session.give(command) || session.insistable?.command !== 'strike') return 'go-on';
  session.say('  Strike it all the same? Nothing but closing the job as unfinished is left then.');
  const answer = await askYesNo(session.reader, '  yes or no? > ', (line) => session.say(line));
  if (answer === true) session.give({ ...command, insist: true });
  else {
    session.insistable = undefined;
    told(session, 'Nothing was struck.');
  }
  return 'go-on';
}

function who(session: Session, name: string): Outcome {
  const { persons } = session.job;
  if (name === '') {
    for (const { role, person } of persons) {
      const acts = person === session.acting ? ' (acts now)' : '';
      session.say(wrap(`${person}, ${roleTitle(session.plan, role)}${acts}`, '  ', '    '));
    }
    return told(session, 'who NAME lets another one act. join ROLE NAME adds somebody.');
  }
  const plain = name.normalize('NFC').replace(/\s+/g, ' ').trim();
  const said = plain.toLowerCase();
  const named =
    persons.find((one) => one.person === plain) ??
    persons.find((one) => one.person.toLowerCase() === said) ??
    persons.find((one) => one.role === said || roleTitle(session.plan, one.role).toLowerCase() === said);
  if (named === undefined)
    return told(
      session,
      `${name} is not in this job. There is ${[...new Set(persons.map((one) => one.person))].join(', ')}. join ROLE NAME adds somebody.`,
    );
  session.letAct(named.person);
  return told(session, `${named.person} acts now.`);
}

function join(session: Session, rest: string): Outcome {
  const [, role = '', person = ''] = /^(\S*)\s*(.*)$/s.exec(rest) ?? [];
  const { roles } = session.plan;
  if (person === '' || !roles.some((one) => one.id === role)) {
    const known = roles.map((one) => `${one.id} (${one.title})`).join(', ');
    return told(session, `Say which role and who: join ROLE NAME. Roles: ${known}.`);
  }
  return given(session, { command: 'join', role, person });
}

/** Takes an instrument into use: of the shop's list by its number alone, any other as its label says. */
function equip(session: Session, rest: string): Outcome {
  const { plan, list } = session;
  const offered = plan.instruments.flatMap((one) => offeredOf(plan, list, one.id));
  const listed = offered.find(({ used }) => used.identity.toLowerCase() === rest.toLowerCase());
  if (listed !== undefined) return equipped(session, listed.used);
  const [kind = '', ...typed] = rest.split(/\s+/);
  const needed = plan.instruments.find((one) => one.id === kind);
  if (needed === undefined) {
    for (const one of offered) {
      const of = plan.instruments.find(({ id }) => id === one.used.kind);
      if (of !== undefined) session.say(wrap(`${of.title} ${writeOffered(of, one)}`, '  ', '    '));
    }
    const kinds = plan.instruments.map((one) => one.id).join(', ');
    const how = offered.length === 0 ? '' : 'equip NUMBER takes one of these. Of another one, ';
    return told(
      session,
      `${how === '' ? 'Say' : `${how}say`} what it is: equip KIND NUMBER DATE. Kinds: ${kinds || 'none'}.`,
    );
  }
  const ofKind = offered.filter(({ used }) => used.kind === kind);
  const text = typed.join(' ');
  const instrument = fromList(text, ofKind) ?? withListed(readInstrument(needed, text), ofKind);
  if ('wrong' in instrument) return told(session, instrument.wrong);
  const remark = otherThanListed(instrument, ofKind);
  const outcome = equipped(session, instrument);
  if (remark !== undefined && session.job.instruments.includes(instrument))
    session.give({ command: 'note', text: remark });
  return outcome;
}

function equipped(session: Session, instrument: InstrumentUsed): Outcome {
  if (session.give({ command: 'equip', instrument }))
    for (const note of suitabilityNotes(session.plan, session.job.instruments, instrument.kind))
      session.say(wrap(note, '  Note: ', '  '));
  return 'go-on';
}

/** By concession of who acts, the instrument that was refused last may be used in this job. */
function allow(session: Session, reason: string): Outcome {
  const { allowable } = session;
  if (allowable === undefined)
    return told(
      session,
      'There is nothing to allow: no instrument was just refused that somebody may allow.',
    );
  const { instrument, because } = allowable;
  const before = session.acting;
  if (session.give({ command: 'allow', instrument, because, reason })) {
    const who = session.acting === before ? ' Another person has to take the reading.' : '';
    return told(session, `Now type the value again.${who}`);
  }
  session.allowable = allowable;
  return told(session, `who lets ${holderOf(session, allowable.role)} act.`);
}

/** The wrench of the step that the job is at is taken into use again, with its length. */
function sayLength(session: Session, length: string): Outcome {
  const { plan, job } = session;
  const node = plan.nodes[job.control.at];
  const kind = node?.node === 'step' && node.act?.act === 'tighten' ? node.act.wrench : undefined;
  const used = job.instruments.findLast((one) => one.kind === kind);
  if (used === undefined) return told(session, 'No torque wrench of this job is asked for now.');
  if (length === '') return told(session, 'Say it with its unit: length 300 mm.');
  return given(session, { command: 'equip', instrument: { ...used, length } });
}
