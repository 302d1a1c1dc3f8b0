import { type Instrument, isInRange } from '../measure/index.ts';
import { type Entry, PART, type Plan } from '../model/plan.ts';
import { exampleOf, hasShape } from '../model/shape.ts';
import {
  describeQuantityFault,
  type Quantity,
  type QuantityFault,
  readEntry,
  writeAmount,
  writeQuantity,
} from '../quantity/index.ts';
import type { Answering } from './answering.ts';
import type { Batch } from './batch.ts';
import { readBeyond, undecidedBeyond, wrongEnd } from './beyond-scale.ts';
import type { Command, Occasion } from './command.ts';
import { failing, isLive } from './control.ts';
import { guardRefusal } from './decide-act.ts';
import { unfitRefusal } from './decide-allow.ts';
import { refusedEngine } from './decide-carry.ts';
import type { FactBody, InstrumentUsed } from './fact.ts';
import { findEntry } from './find.ts';
import { chosenInstrument, instrumentOf } from './instruments.ts';
import type { Job } from './job.ts';
import { implausible, openEntry } from './open-entry.ts';
import type { Refusal, RefusalCode } from './refusal.ts';
import {
  type Indication,
  isPlausible,
  nextRepeat,
  onCircle,
  type ReadingEntry,
  saidOfRepeat,
} from './repeats.ts';
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
      const refused =
        refusedText(text, entry.title, entry.longest) ??
        refusedShape(entry, text) ??
        refusedEngine(plan, job, entry.name, text);
      return refused === undefined
        ? { kind: 'filled', step, entry: entry.name, text }
        : { ...refused, about: entry.name };
    }
    case 'identity':
      return identity(plan, job, entry, step, command);
  }
}

function reading(
  plan: Plan,
  job: Job,
  entry: ReadingEntry,
  step: string,
  command: Record_,
  occasion: Occasion,
): FactBody | Refusal {
  const signed = readBeyond(command.value);
  if (signed !== undefined && signed.beyond === undefined) {
    return {
      code: 'not-a-number',
      message: `"${command.value.trim().slice(0, 40)}" may be the end of the scale, or beyond it.`,
      remedy:
        'Enter the value where the pointer stands on it; where it lies beyond, write > or < before the end of the scale.',
      about: entry.name,
    };
  }
  const typed = readEntry(signed?.rest ?? command.value, { kind: entry.kind, unit: entry.unit });
  if ('fault' in typed) return quantityRefusal(typed.fault, entry);
  const { quantity } = typed;
  const beyond = signed?.beyond;
  if (beyond === undefined && !isPlausible(quantity, entry)) return implausible(plan, quantity, entry);
  let used: InstrumentUsed | undefined;
  let instrument: Instrument | undefined;
  if (entry.instrument !== undefined) {
    const chosen = chosenInstrument(plan, job, entry.instrument, command.instrument);
    if ('refusal' in chosen) return chosen.refusal;
    used = chosen.used;
    instrument = instrumentOf(plan, used ?? { kind: entry.instrument, identity: entry.instrument });
  }
  const identity = used?.identity ?? entry.instrument ?? '';
  const index = findEntry(plan, entry.name) ?? -1;
  if (beyond !== undefined) {
    const wrong =
      wrongEnd(instrument, identity, beyond, quantity, entry.name) ??
      undecidedBeyond(plan, index, entry, beyond, quantity);
    if (wrong !== undefined) return wrong;
  }
  const unfit = instrument && unfitRefusal(plan, job, instrument, quantity, occasion);
  if (unfit !== undefined)
    return unfit.code === 'beyond-instrument' ? withTurn(unfit, quantity, entry, instrument) : unfit;
  const before = job.underWay[index] ?? [];
  const other = before.find((one) => one.instrument?.identity !== used?.identity);
  if (other !== undefined) return otherInstrument(entry.name, before, other.instrument?.identity, identity);
  // What lies beyond the scale has no value, and so no mean: the reading is complete with it.
  const repeat =
    beyond === undefined
      ? saidOfRepeat(entry, before, onCircle(quantity, entry), instrument?.resolution.value)
      : entry.repeats === undefined
        ? {}
        : { repeat: nextRepeat(before) };
  if (repeat === undefined) {
    return {
      code: 'implausible',
      message: `${writeQuantity(quantity)} lies half a circle from the others, and then they have no mean.`,
      remedy: 'Read again, or strike the one that is wrong.',
      about: entry.name,
    };
  }
  const { throughout } = entry;
  if (throughout !== undefined && command.held !== true)
    return {
      code: 'not-held',
      message: `Nobody has said that this held during the whole of the reading: ${throughout.join('; ')}.`,
      remedy: 'Say so if it did. If not, bring it back inside, and read again.',
      about: entry.name,
    };
  return {
    kind: 'reading',
    step,
    entry: entry.name,
    typed: command.value,
    digits: quantity.digits,
    unit: quantity.unit.symbol,
    ...(used === undefined ? {} : { instrument: used }),
    ...(beyond === undefined ? {} : { beyond }),
    ...repeat,
    ...(throughout === undefined ? {} : { throughout }),
  };
}

/** An angle that is right after whole turns is said as the scale of the instrument has it. */
function withTurn(
  refusal: Refusal,
  quantity: Quantity,
  entry: ReadingEntry,
  instrument: Instrument | undefined,
): Refusal {
  const shown = onCircle(quantity, entry);
  if (instrument === undefined || shown.value.equals(quantity.value) || !isInRange(instrument, shown))
    return refusal;
  const { unit, decimals } = quantity;
  const text = writeAmount(shown, unit, decimals);
  return { ...refusal, remedy: `On its scale that stands at ${text}: type what it shows.` };
}

/** The repeats of one reading are taken with one instrument: otherwise their spread would be that of two. */
function otherInstrument(
  about: string,
  before: readonly Indication[],
  first: string | undefined,
  now: string,
): Refusal {
  const facts = before.map((one) => one.seq).join(', ');
  return {
    code: 'other-instrument',
    message: `This reading was begun with ${first ?? 'no instrument that is named'}, and ${now} is in use now.`,
    remedy: `Take ${first ?? 'the first one'} into use again, or strike what there is, ${before.length > 1 ? 'facts' : 'fact'} ${facts}, and begin anew.`,
    about,
  };
}

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
  if (entry.as === 'found' && text === own && job.control.bytes[entry.partCell] === PART.renewed) {
    return {
      code: 'unexpected-identity',
      message: `${text} is the number of the old part of ${entry.place}, which was taken off for good.`,
      remedy: 'Read the number of the new one. If that of the old one was written down wrongly, strike it.',
      about: entry.name,
    };
  }
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
