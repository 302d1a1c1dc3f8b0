import { nearest } from '../logic/index.ts';
import { unsuitable } from '../measure/index.ts';
import { type Entry, PART, type Plan } from '../model/plan.ts';
import { exampleOf, hasShape } from '../model/shape.ts';
import { describeQuantityFault, type QuantityFault, readEntry, writeQuantity } from '../quantity/index.ts';
import type { Answering } from './answering.ts';
import type { Batch } from './batch.ts';
import type { Command, Occasion } from './command.ts';
import { failing, isLive, PHASE, progressOf } from './control.ts';
import { guardRefusal, unsuitableRefusal } from './decide-act.ts';
import type { FactBody } from './fact.ts';
import { findEntry } from './find.ts';
import { onHold } from './here.ts';
import { chosenInstrument, instrumentOf } from './instruments.ts';
import type { Job } from './job.ts';
import type { Refusal, RefusalCode } from './refusal.ts';
import { refusedText } from './said.ts';

type Record_ = Extract<Command, { command: 'record' }>;

/** Takes one entry of the step that the job is at: a reading, an answer, a serial number or a text. */
export function record(plan: Plan, batch: Batch, command: Record_, occasion: Occasion): Answering {
  const { job } = batch;
  const entry = openEntry(plan, job, command.entry);
  if (!('entry' in entry)) return entry;
  const guards = failing(entry.guards, job.control.bytes);
  if (guards.length > 0) return guards.map(guardRefusal);
  const step = plan.nodes[job.control.at]?.path ?? '';
  const body = bodyOf(plan, job, entry, step, command, occasion);
  return 'code' in body ? [body] : batch.add(body).settle();
}

/** The entry that is asked for now under this name, or the refusal that says which ones are. */
function openEntry(plan: Plan, job: Job, name: string): Entry | readonly Refusal[] {
  const { control } = job;
  if (control.hold >= 0) return [onHold(plan, job)];
  const node = plan.nodes[control.at];
  const isTaking = node?.node === 'step' && progressOf(plan, control, control.at) === PHASE.entries;
  const open = isTaking ? node.entries.filter((one) => !isLive(plan.entries[one], control.bytes)) : [];
  const index = findEntry(plan, name);
  const entry = index !== undefined && open.includes(index) ? plan.entries[index] : undefined;
  if (entry !== undefined) return entry;
  const names = open.map((one) => plan.entries[one]?.name ?? '');
  const known =
    index === undefined
      ? nearest(
          name,
          plan.entries.map((one) => one.name),
        )
      : undefined;
  return [
    {
      code: 'not-offered',
      message:
        index === undefined
          ? `There is no entry ${name}${known === undefined ? '' : `; did you mean ${known}?`}`
          : `${name} is not asked for now.`,
      remedy:
        names.length > 0
          ? `Asked for now: ${names.join(', ')}.`
          : `Go on with ${node?.path ?? 'closing the job'}.`,
      about: name,
    },
  ];
}

function bodyOf(
  plan: Plan,
  job: Job,
  entry: Entry,
  step: string,
  command: Record_,
  occasion: Occasion,
): FactBody | Refusal {
  switch (entry.entry) {
    case 'reading':
      return reading(plan, job, entry, step, command, occasion);
    case 'observation': {
      const answer = command.value.trim();
      if (entry.answers.some((one) => one.id === answer)) {
        return { kind: 'observed', step, entry: entry.name, answer };
      }
      return {
        code: answer === '' ? 'empty' : 'unknown-answer',
        message: answer === '' ? 'Nothing was answered.' : `"${answer}" is none of the answers.`,
        remedy: `Answer ${entry.answers.map((one) => one.id).join(' or ')}.`,
        about: entry.name,
      };
    }
    case 'field': {
      const text = command.value.trim();
      const refused = refusedText(text, entry.title, entry.longest) ?? refusedShape(entry, text);
      return refused === undefined
        ? { kind: 'filled', step, entry: entry.name, text }
        : { ...refused, about: entry.name };
    }
    case 'identity':
      return identity(plan, job, entry, step, command);
  }
}

type ReadingEntry = Extract<Entry, { entry: 'reading' }>;

function reading(
  plan: Plan,
  job: Job,
  entry: ReadingEntry,
  step: string,
  command: Record_,
  occasion: Occasion,
): FactBody | Refusal {
  const typed = readEntry(command.value, { kind: entry.kind, unit: entry.unit });
  if ('fault' in typed) return quantityRefusal(typed.fault, entry);
  const { quantity } = typed;
  const [low, high] = entry.plausible;
  if (quantity.value.compare(low.value) < 0 || quantity.value.compare(high.value) > 0) {
    return {
      code: 'implausible',
      message: `${writeQuantity(quantity)} cannot be right here: ${plausibleText(entry)}.`,
      remedy:
        'Look at the instrument, its zero and the unit, and read again. If it stays so, leave a note and ask the lead.',
      about: entry.name,
    };
  }
  let used: Extract<FactBody, { kind: 'reading' }>['instrument'];
  if (entry.instrument !== undefined) {
    const chosen = chosenInstrument(plan, job, entry.instrument, command.instrument);
    if ('refusal' in chosen) return chosen.refusal;
    used = chosen.used;
    const instrument = instrumentOf(plan, used ?? { kind: entry.instrument, identity: entry.instrument });
    const unfit = instrument === undefined ? undefined : unsuitable(instrument, quantity, occasion.at);
    if (unfit !== undefined)
      return unsuitableRefusal(used?.identity ?? entry.instrument, writeQuantity(quantity), unfit);
  }
  return {
    kind: 'reading',
    step,
    entry: entry.name,
    typed: command.value,
    digits: quantity.digits,
    unit: quantity.unit.symbol,
    ...(used === undefined ? {} : { instrument: used }),
  };
}

const plausibleText = (entry: ReadingEntry): string =>
  `${entry.title} lies between ${writeQuantity(entry.plausible[0])} and ${writeQuantity(entry.plausible[1])}`;

const codes: Readonly<Partial<Record<QuantityFault['code'], RefusalCode>>> = {
  empty: 'empty',
  'too-long': 'too-long',
  'doubtful-number': 'doubtful-number',
  'unknown-unit': 'wrong-unit',
  'inexact-unit': 'wrong-unit',
  'missing-unit': 'wrong-unit',
  'wrong-kind': 'wrong-quantity',
};

function quantityRefusal(fault: QuantityFault, entry: ReadingEntry): Refusal {
  const unit =
    entry.unit.symbol === '' ? 'a plain number' : `a number in ${entry.unit.symbol}, or with its unit`;
  return {
    code: codes[fault.code] ?? 'not-a-number',
    message: describeQuantityFault(fault),
    remedy: `Enter ${unit}.`,
    about: entry.name,
  };
}

function refusedShape(
  entry: Extract<Entry, { entry: 'field' | 'identity' }>,
  text: string,
): Refusal | undefined {
  if (entry.shape === undefined || hasShape(text, entry.shape)) return undefined;
  return {
    code: 'wrong-shape',
    message: `"${text}" is not written like ${entry.title}, for example ${exampleOf(entry.shape)}.`,
    remedy: 'Read it off the part again.',
    about: entry.name,
  };
}

type IdentityEntry = Extract<Entry, { entry: 'identity' }>;

function identity(
  plan: Plan,
  job: Job,
  entry: IdentityEntry,
  step: string,
  command: Record_,
): FactBody | Refusal {
  const text = command.value.trim();
  const refused = refusedText(text, entry.title, entry.shape.signs.length + 40) ?? refusedShape(entry, text);
  if (refused !== undefined) return { ...refused, about: entry.name };
  const own = foundAt(plan, job, entry.place);
  const elsewhere = plan.entries.filter(
    (other, index): other is IdentityEntry =>
      other.entry === 'identity' &&
      other.part === entry.part &&
      other.place !== entry.place &&
      job.taken[index]?.text === text &&
      isLive(other, job.control.bytes),
  );
  const inUse = elsewhere.find((one) => one.as === entry.as);
  if (inUse !== undefined) {
    return {
      code: 'identity-in-use',
      message: `${text} stands at ${inUse.place} already; one part cannot be in two places.`,
      remedy: `Read the number at ${entry.place} again, or strike the entry at ${inUse.place}.`,
      about: entry.name,
    };
  }
  const other = elsewhere.find((one) => one.as === 'found');
  if (entry.as === 'found')
    return { kind: 'identified', step, entry: entry.name, identity: text, part: 'found' };
  const part = text === own ? 'own' : other !== undefined ? 'other' : 'renewed';
  const expected = part === 'own' || (part === 'renewed' && entry.acceptNew);
  if (!expected && command.insist !== true) {
    return {
      code: 'unexpected-identity',
      message:
        other !== undefined
          ? `${text} came out of ${other.place}; ${entry.place} had ${own ?? 'none recorded'}.`
          : `${text} was not in this engine; ${entry.place} had ${own ?? 'none recorded'}.`,
      remedy: `Read the number again and take the part that belongs here. If ${text} really is in your hand, insist: it is recorded as nonconforming.`,
      about: entry.name,
    };
  }
  return { kind: 'identified', step, entry: entry.name, identity: text, part };
}

/** The identity that was found at a place, if it still counts. */
function foundAt(plan: Plan, job: Job, place: string): string | undefined {
  const index = plan.entries.findIndex(
    (one) => one.entry === 'identity' && one.as === 'found' && one.place === place,
  );
  const entry = plan.entries[index];
  if (entry?.entry !== 'identity' || job.control.bytes[entry.partCell] === PART.unknown) return undefined;
  return job.taken[index]?.text;
}
