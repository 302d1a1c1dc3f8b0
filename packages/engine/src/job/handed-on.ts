import { compileAmount, writeFormula } from '../logic/index.ts';
import { rootOf, spanKind, type Uncertainty, type VerdictWord } from '../measure/index.ts';
import type { Plan, PlanExport } from '../model/plan.ts';
import { baseUnit, Rational, type Unit, valueIn } from '../quantity/index.ts';
import { isLive } from './control.ts';
import { factAt, type Job, type Taken } from './job.ts';
import type { CarriedUncertainty, Origin, OriginValue } from './origin.ts';
import { uncertaintyOf } from './uncertainty-of.ts';
import { boundReader, reader } from './value.ts';
import { takenIn } from './verdict-on.ts';
import { spell } from './write-assessment.ts';

/**
 * What a job hands on to others: its exported readings and derived values with their uncertainty, age and verdict, and what
 * was filled in. `plan` is the one that the job was done by; `kept` says under which name it is kept, and the digest of the
 * end of its record where there is one. A job that is not closed says so, and nothing is taken over from it.
 */
export function handedOn(
  plan: Plan,
  job: Job,
  kept: { readonly job: string; readonly record?: string },
): Origin {
  const { pack, revision, bundle, procedure, variant } = job.started;
  const { closed } = job.control;
  return {
    ...kept,
    ...{ pack, revision, bundle, procedure, variant },
    ...(closed === undefined ? {} : { closed }),
    fields: plan.entries.flatMap((entry, index) => {
      const taken = job.taken[index];
      const isFilled = entry.entry === 'field' && isLive(entry, job.control.bytes);
      return isFilled && taken !== undefined ? [{ name: entry.name, text: taken.text }] : [];
    }),
    values: plan.exports.map((one) => handedValue(plan, job, one)),
  };
}

type TakenReading = Extract<Taken, { entry: 'reading' }>;

function handedValue(plan: Plan, job: Job, exported: PlanExport): OriginValue {
  const { name, title, value, unit, entries } = exported;
  const said = { name, title };
  const inputs = entries.filter((index) => plan.entries[index]?.entry === 'reading');
  const lost = inputs.filter((index) => !isLive(plan.entries[index], job.control.bytes));
  if (lost.some((index) => wasStruck(plan, job, index))) return { ...said, because: 'struck' };
  const taken = inputs.flatMap((index): readonly TakenReading[] => {
    const one = job.taken[index];
    return one?.entry === 'reading' && !lost.includes(index) ? [one] : [];
  });
  const answer = compileAmount(value)(reader(plan, job));
  const at = oldest(taken.map((one) => takenAt(job, one)));
  if (!('amount' in answer) || at === undefined) {
    const boundOf = boundReader(plan, job);
    const isBeyond = inputs.some((index) => boundOf(plan.entries[index]?.name ?? '') !== undefined);
    return { ...said, because: isBeyond ? 'beyond-scale' : 'missing' };
  }
  const verdict = verdictOf(plan, job, exported, Math.max(...taken.map((one) => one.seq)));
  const uncertainty = uncertaintyOf(plan, value, reader(plan, job), takenIn(plan, job));
  const instruments = new Set(taken.flatMap(identitiesOf));
  const { amount } = answer;
  const inUnit = valueIn(amount, unit);
  return {
    ...said,
    at,
    digits: digitsOf(inUnit, decimalsOf(taken, unit)),
    unit: unit.symbol,
    exact: amount.value.toFraction(),
    ...(verdict === undefined ? {} : { verdict }),
    ...(uncertainty === undefined || amount.kind === 'count'
      ? {}
      : { uncertainty: written(uncertainty, unit) }),
    ...(instruments.size === 0 ? {} : { instruments: [...instruments].sort() }),
  };
}

/** Whether what an entry held last was struck and not taken again. */
function wasStruck(plan: Plan, job: Job, index: number): boolean {
  const name = plan.entries[index]?.name;
  const last = job.facts.findLast(({ fact }) => 'entry' in fact && fact.entry === name);
  return last?.fact.kind === 'struck' && last.fact.open !== true;
}

/** When a value was measured: of repeats the first counts, and of what was itself taken over the first job. */
function takenAt(job: Job, { carried, facts }: TakenReading): string {
  return carried?.from.at ?? oldest(facts.flatMap((seq) => factAt(job, seq)?.at ?? [])) ?? job.since;
}

const oldest = (times: readonly string[]): string | undefined =>
  times.reduce<string | undefined>(
    (first, one) => (first === undefined || Date.parse(one) < Date.parse(first) ? one : first),
    undefined,
  );

const identitiesOf = ({ carried, instrument }: TakenReading): readonly string[] =>
  carried?.from.instruments ?? (instrument === undefined ? [] : [instrument.identity]);

/** The worst of the last verdicts on the value itself since it was taken. */
function verdictOf(plan: Plan, job: Job, { value }: PlanExport, since: number): VerdictWord | undefined {
  const formula = (one: PlanExport['value']): string => writeFormula(one, (name) => name);
  const about = formula(value);
  const last = plan.tolerances.flatMap((tolerance) => {
    if (formula(tolerance.value) !== about) return [];
    const found = job.facts.findLast(({ fact }) => fact.kind === 'judged' && fact.of === tolerance.name);
    return found?.fact.kind === 'judged' && found.seq > since ? [found.fact.verdict.verdict] : [];
  });
  return (['nonconforming', 'inconclusive', 'conforming'] as const).find((word) => last.includes(word));
}

/** As many digits as the coarsest of its readings has that is in this unit; where none is, three. */
const decimalsOf = (taken: readonly TakenReading[], unit: Unit): number => {
  const alike = taken.filter((one) => one.quantity.unit.symbol === unit.symbol);
  return alike.length === 0 ? 3 : Math.min(...alike.map((one) => one.quantity.decimals));
};

/** A number with one digit more than was read, where it does not end before. */
function digitsOf(value: Rational, decimals: number): string {
  const digits = value.toDecimal(decimals);
  return Rational.parse(digits)?.equals(value) === true ? digits : value.toDecimal(decimals + 1);
}

function written(
  { variance, coverageFactor, degreesOfFreedom }: Uncertainty,
  unit: Unit,
): CarriedUncertainty {
  const span = spanKind(unit.kind);
  const shown = unit.kind === span ? unit : baseUnit(span);
  const square = variance.times(coverageFactor).times(coverageFactor).over(shown.factor).over(shown.factor);
  const expanded = rootOf(square, 2, 'up').times(shown.factor);
  return {
    expandedUncertainty: spell({ kind: span, value: expanded }, shown),
    coverageFactor: coverageFactor.toDecimal(2).replace(/\.?0+$/, ''),
    ...(degreesOfFreedom === Number.POSITIVE_INFINITY
      ? {}
      : { degreesOfFreedom: Math.floor(degreesOfFreedom) }),
  };
}
