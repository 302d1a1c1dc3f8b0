import { compileAmount, namesIn, type Read, type TypedAmount } from '../logic/index.ts';
import {
  type Bound,
  judge,
  type Limits,
  type Measured,
  marginOf,
  spanKind,
  type Verdict,
} from '../measure/index.ts';
import type { Plan, PlanTolerance } from '../model/plan.ts';
import type { Rational } from '../quantity/index.ts';
import { isLive } from './control.ts';
import { findEntry } from './find.ts';
import type { Job } from './job.ts';
import { sharesOf, type TakenBy, uncertaintyOf } from './uncertainty-of.ts';
import { boundReader, measuredBy, reader } from './value.ts';

/** A verdict with the limits that it was held against: they may depend on readings. */
export interface VerdictOn {
  readonly verdict: Verdict;
  readonly limits: Limits;
}

/** Judges what a job has recorded against a tolerance, with the instruments that were used. */
export function verdictOn(plan: Plan, job: Job, tolerance: PlanTolerance): VerdictOn {
  return judgeReadings(plan, tolerance, reader(plan, job), takenIn(plan, job), boundReader(plan, job));
}

/** The readings of a job that still count. */
export const takenIn =
  (plan: Plan, job: Job): TakenBy =>
  (name) => {
    const index = findEntry(plan, name) ?? -1;
    const taken = isLive(plan.entries[index], job.control.bytes) ? job.taken[index] : undefined;
    return taken?.entry === 'reading' ? taken : undefined;
  };

/** Judges readings against a tolerance, wherever they come from. */
export function judgeReadings(
  plan: Plan,
  tolerance: PlanTolerance,
  read: Read,
  taken: TakenBy,
  boundOf?: (name: string) => Bound | undefined,
): VerdictOn {
  const measured = measuredBy(tolerance, read, boundOf);
  const found = limitsOf(tolerance, read);
  if ('missing' in found) {
    const missing = [...(measured.missing ?? []), ...found.missing];
    // A limit that depends on what lies beyond its scale has no value, and is not waited for.
    const isBeyond = missing.every((name) => boundOf?.(name) !== undefined);
    return { verdict: judge(tolerance, isBeyond ? { beyond: missing } : { missing }), limits: {} };
  }
  const { limits } = found;
  const judged = limits === tolerance.limits ? tolerance : { ...tolerance, limits };
  return { verdict: judge(judged, withUncertainty(plan, tolerance, limits, measured, read, taken)), limits };
}

/** What each reading has in the uncertainty of a verdict, by its name; nothing while there is no value. */
export function sharesIn(
  plan: Plan,
  tolerance: PlanTolerance,
  read: Read,
  taken: TakenBy,
): ReadonlyMap<string, Rational> {
  const { amount } = measuredBy(tolerance, read);
  const found = limitsOf(tolerance, read);
  if (amount === undefined || 'missing' in found) return new Map();
  return sharesOf(plan, heldAgainst(tolerance, found.limits, amount.value), read, taken);
}

function withUncertainty(
  plan: Plan,
  tolerance: PlanTolerance,
  limits: Limits,
  measured: Measured,
  read: Read,
  taken: TakenBy,
): Measured {
  if (measured.amount === undefined) return measured;
  const value = heldAgainst(tolerance, limits, measured.amount.value);
  const uncertainty = uncertaintyOf(plan, value, read, taken);
  return uncertainty === undefined ? measured : { amount: measured.amount, uncertainty };
}

/** The limits as they are now, or the names of readings that they wait for. */
function limitsOf(
  { limits, limitsFrom, entries, of }: PlanTolerance,
  read: Read,
): { readonly limits: Limits } | { readonly missing: readonly string[] } {
  if (limitsFrom === undefined) return { limits };
  const missing: string[] = [];
  const made = Object.entries(limitsFrom).flatMap(([side, typed]) => {
    const answer = compiledOf(typed)(read);
    if ('amount' in answer) return [[side, answer.amount] as const];
    missing.push(
      ...answer.lacks.flatMap((one) => ('name' in one ? [one.name] : 'names' in one ? one.names : [of])),
    );
    return [];
  });
  if (missing.length > 0 || entries.length === 0) return { missing };
  const worked: Limits = Object.fromEntries(made);
  return areCrossed(worked)
    ? { missing: [...new Set(Object.values(limitsFrom).flatMap(namesIn))] }
    : { limits: worked };
}

/** A lower limit above the upper one: no value could conform, and so nothing is judged. */
const areCrossed = ({ low, high }: Limits): boolean =>
  low !== undefined && high !== undefined && low.value.compare(high.value) > 0;

/** Limits that were worked out and cross, with the readings that they came from; undefined where they do not. */
export function crossedLimits(
  { limitsFrom }: PlanTolerance,
  read: Read,
): { readonly limits: Limits; readonly names: readonly string[] } | undefined {
  if (limitsFrom === undefined) return undefined;
  const sides = Object.entries(limitsFrom).flatMap(([side, typed]) => {
    const answer = compiledOf(typed)(read);
    return 'amount' in answer ? [[side, answer.amount] as const] : [];
  });
  const limits: Limits = Object.fromEntries(sides);
  return areCrossed(limits)
    ? { limits, names: [...new Set(Object.values(limitsFrom).flatMap(namesIn))] }
    : undefined;
}

const compiled = new WeakMap<TypedAmount, ReturnType<typeof compileAmount>>();

function compiledOf(typed: TypedAmount): ReturnType<typeof compileAmount> {
  const known = compiled.get(typed) ?? compileAmount(typed);
  compiled.set(typed, known);
  return known;
}

/**
 * What the uncertainty is of: the value, or, where the nearer limit depends on readings too, the distance from it. A
 * reading that enters both counts once, with what it does to the distance.
 */
function heldAgainst(
  tolerance: PlanTolerance,
  limits: Limits,
  value: Parameters<typeof marginOf>[0],
): TypedAmount {
  const { limitsFrom } = tolerance;
  if (limitsFrom === undefined) return tolerance.value;
  const { low, high } = limits;
  const isLow =
    low !== undefined &&
    (high === undefined || marginOf(value, { low }).compare(marginOf(value, { high })) <= 0);
  const limit = isLow ? limitsFrom.low : limitsFrom.high;
  return limit === undefined ? tolerance.value : distanceFrom(tolerance, limit);
}

const distances = new WeakMap<TypedAmount, TypedAmount>();

function distanceFrom({ value }: PlanTolerance, limit: TypedAmount): TypedAmount {
  const known = distances.get(limit);
  if (known !== undefined) return known;
  const distance: TypedAmount = {
    node: 'calculation',
    type: { type: 'amount', kind: spanKind(value.type.kind) },
    operation: 'minus',
    operands: [value, limit],
  };
  distances.set(limit, distance);
  return distance;
}
