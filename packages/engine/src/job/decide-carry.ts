import type { Plan } from '../model/plan.ts';
import { kindName, writeQuantity } from '../quantity/index.ts';
import { writeAge } from './age.ts';
import type { Answering } from './answering.ts';
import type { Batch } from './batch.ts';
import { type CarriedFact, carriedQuantity, carriedStandard } from './carried.ts';
import type { Command, Occasion } from './command.ts';
import { failing, isLive } from './control.ts';
import { guardRefusal } from './decide-act.ts';
import { findEntry } from './find.ts';
import type { Job } from './job.ts';
import { implausible, openEntry } from './open-entry.ts';
import type { Origin, OriginValue } from './origin.ts';
import type { Refusal, RefusalCode } from './refusal.ts';
import { isPlausible, type ReadingEntry } from './repeats.ts';

/** Takes the value of a reading over from an earlier job. */
export function carry(
  plan: Plan,
  batch: Batch,
  command: Extract<Command, { command: 'carry' }>,
  occasion: Occasion,
): Answering {
  const found = carriedFrom(plan, batch.job, command.entry, command.origin, occasion.at);
  return found.refusals ?? batch.add(found.carried).settle();
}

/**
 * What a reading that is asked for would be if it were taken over from an earlier job at an RFC 3339 time: the fact that
 * the command `carry` makes, for showing it before; or why it is refused. Nothing is changed.
 */
export function carriedFrom(
  plan: Plan,
  job: Job,
  name: string,
  origin: Origin,
  at: string,
):
  | { readonly carried: CarriedFact; readonly refusals?: undefined }
  | { readonly refusals: readonly Refusal[]; readonly carried?: undefined } {
  const entry = openEntry(plan, job, name);
  if (!('entry' in entry)) return { refusals: entry };
  const guards = failing(entry.guards, job.control.bytes);
  if (guards.length > 0) return { refusals: guards.map(guardRefusal) };
  if (entry.entry !== 'reading' || entry.carry === undefined) {
    const message = `${name} is not taken over from another job.`;
    return { refusals: [{ code: 'not-carryable', message, remedy: MEASURE, about: name }] };
  }
  const found = valueIn(entry, entry.carry, origin);
  if (!('digits' in found)) return { refusals: [found] };
  const { pack, revision, bundle, procedure, record } = origin;
  const engine = origin.fields.find((one) => one.name === entry.carry?.field)?.text;
  const { verdict, instruments, uncertainty } = found;
  const carried: CarriedFact = {
    kind: 'carried',
    step: plan.nodes[job.control.at]?.path ?? '',
    entry: entry.name,
    digits: found.digits,
    unit: found.unit,
    exact: found.exact,
    from: {
      job: origin.job,
      ...(record === undefined ? {} : { record }),
      ...{ pack, revision, bundle, procedure },
      value: found.name,
      at: found.at,
      engine: engine ?? '',
      ...(verdict === undefined ? {} : { verdict }),
      ...(instruments === undefined ? {} : { instruments }),
    },
    ...(uncertainty === undefined ? {} : { uncertainty }),
  };
  const refusal = refusedCarry(plan, job, carried, at);
  return refusal === undefined ? { carried } : { refusals: [refusal] };
}

const MEASURE = 'Measure it.';

type Found = OriginValue & Required<Pick<OriginValue, 'digits' | 'unit' | 'exact' | 'at'>>;

/** The value of another job that a reading may be taken over from, as far as that job alone can tell. */
function valueIn(
  entry: ReadingEntry,
  { pack, procedure, value: name }: NonNullable<ReadingEntry['carry']>,
  origin: Origin,
): Found | Refusal {
  const refuse = (code: RefusalCode, message: string, remedy = `Name another job, or measure.`): Refusal => ({
    ...{ code, message, remedy },
    about: entry.name,
  });
  if (origin.pack !== pack || origin.procedure !== procedure)
    return refuse(
      'not-carryable',
      `The job ${origin.job} is ${origin.procedure} of ${origin.pack}; ${entry.name} is taken over from ${procedure} of ${pack}.`,
    );
  if (origin.closed !== 'finished')
    return refuse(
      'not-carryable',
      origin.closed === undefined
        ? `The job ${origin.job} is not closed yet.`
        : `The job ${origin.job} was closed unfinished.`,
      'Finish that job first, name another one, or measure.',
    );
  const found = origin.values.find((one) => one.name === name);
  if (found === undefined) {
    const known = origin.values.map((one) => one.name).join(', ');
    return refuse(
      'not-carryable',
      `The job ${origin.job} has no ${name}; it hands on ${known || 'nothing'}.`,
      MEASURE,
    );
  }
  if (found.because === 'struck')
    return refuse('origin-struck', `${name} was struck in the job ${origin.job}, and not taken again.`);
  const { digits, unit, exact, at } = found;
  if (digits === undefined || unit === undefined || exact === undefined || at === undefined)
    return refuse(
      'not-carryable',
      found.because === 'beyond-scale'
        ? `${name} lies beyond the scale of its instrument in the job ${origin.job}.`
        : `${name} has no value in the job ${origin.job}.`,
    );
  return { ...found, digits, unit, exact, at };
}

/** Why a carried fact cannot stand in a job at a time, whoever made it; replaying asks the same. */
export function refusedCarry(plan: Plan, job: Job, fact: CarriedFact, now: string): Refusal | undefined {
  const index = findEntry(plan, fact.entry) ?? -1;
  const entry = plan.entries[index];
  const refuse = (code: RefusalCode, message: string, remedy = `Name another job, or measure.`): Refusal => ({
    ...{ code, message, remedy },
    about: fact.entry,
  });
  if (entry?.entry !== 'reading' || entry.carry === undefined)
    return refuse('not-carryable', `${fact.entry} is not taken over from another job.`, MEASURE);
  const { pack, procedure, value, validFor, field } = entry.carry;
  const { from } = fact;
  if (from.pack !== pack || from.procedure !== procedure || from.value !== value)
    return refuse('not-carryable', `${fact.entry} is taken over from ${value} of ${procedure}, ${pack}.`);
  const engine = engineOf(plan, job, field);
  const title = plan.entries[findEntry(plan, field) ?? -1]?.title ?? field;
  if (engine === undefined)
    return refuse(
      'other-engine',
      `${title} is not written down in this job.`,
      'Write it down first, or measure.',
    );
  if (from.engine !== engine)
    return refuse(
      'other-engine',
      from.engine === ''
        ? `The job ${from.job} does not say which engine it was on; this is ${engine}.`
        : `The job ${from.job} was on ${from.engine}; this is ${engine}.`,
    );
  if ((job.underWay[index]?.length ?? 0) > 0)
    return refuse(
      'not-offered',
      `${fact.entry} has been begun by measuring.`,
      `Go on measuring, or strike what there is, ${job.underWay[index]?.map((one) => `fact ${one.seq}`).join(', ')}.`,
    );
  if (from.verdict === 'nonconforming' || from.verdict === 'inconclusive')
    return refuse(
      'origin-nonconforming',
      `${value} was ${from.verdict} in the job ${from.job}.`,
      'Measure it now.',
    );
  const quantity = carriedQuantity(fact, entry.kind);
  if (quantity === undefined)
    return refuse(
      'not-carryable',
      `${value} is no ${kindName(entry.kind)} in the job ${from.job}: ${fact.digits.slice(0, 40)} ${fact.unit.slice(0, 20)}.`,
      MEASURE,
    );
  const { uncertainty } = fact;
  if (uncertainty !== undefined && carriedStandard(uncertainty, entry.kind) === undefined)
    return refuse('not-carryable', `The uncertainty of ${value} cannot be read.`, MEASURE);
  const age = Date.parse(now) - Date.parse(from.at);
  if (Number.isNaN(age)) return refuse('not-carryable', `"${from.at.slice(0, 40)}" is no time.`, MEASURE);
  const day = from.at.slice(0, 10);
  if (age < 0)
    return refuse(
      'from-the-future',
      `${value} is of ${from.at}, and now it is ${now}.`,
      'Look at the clock of this machine, and at that of the other; or measure.',
    );
  if (age > validFor.value.toNumber() * 1000)
    return refuse(
      'too-old',
      `${value} of ${day} is ${writeAge(from.at, now)} old, and holds for ${writeQuantity(validFor)}.`,
      'Measure it now.',
    );
  return isPlausible(quantity, entry) ? undefined : implausible(plan, quantity, entry);
}

/** The serial number of the engine as this job has it, if it still counts. */
function engineOf(plan: Plan, job: Job, field: string): string | undefined {
  const index = findEntry(plan, field) ?? -1;
  return isLive(plan.entries[index], job.control.bytes) ? job.taken[index]?.text : undefined;
}

/** Why the number of another engine cannot be written down: values were taken over that are of this one. */
export function refusedEngine(plan: Plan, job: Job, field: string, text: string): Refusal | undefined {
  const others = plan.entries.flatMap((entry, index) => {
    const taken = job.taken[index];
    const isOf = entry.entry === 'reading' && entry.carry?.field === field;
    const carried = isOf && isLive(entry, job.control.bytes) && taken?.entry === 'reading' && taken.carried;
    return carried && carried.from.engine !== text ? [{ seq: taken.seq, engine: carried.from.engine }] : [];
  });
  const [first] = others;
  if (first === undefined) return undefined;
  return {
    code: 'other-engine',
    message: `Values were taken over in this job that are of ${first.engine}.`,
    remedy: `Read the number again. If it is right, strike what was taken over first: fact ${others.map((one) => one.seq).join(', ')}.`,
    about: field,
  };
}
