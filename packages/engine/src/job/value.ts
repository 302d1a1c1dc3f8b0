import { compileAmount, type Lack, type Read, type TypedAmount } from '../logic/index.ts';
import type { Bound, Measured } from '../measure/index.ts';
import type { Plan, PlanTolerance } from '../model/plan.ts';
import { isLive } from './control.ts';
import { elapsedValue } from './elapsed.ts';
import { findEntry } from './find.ts';
import { type Job, recordedValue } from './job.ts';

/**
 * Reads what a job has recorded and what still counts: struck and stale entries are as good as missing. Times since steps
 * are those of the last fact.
 */
export function reader(plan: Plan, job: Job): Read {
  return (name) => {
    if (name === 'variant') return plan.variant.id;
    const index = findEntry(plan, name);
    if (index === undefined) return elapsedValue(plan, job, name);
    if (!isLive(plan.entries[index], job.control.bytes)) return undefined;
    return recordedValue(job.taken[index]);
  };
}

/** What is known of a reading that lies beyond the scale of its instrument, and still counts. */
export function boundReader(plan: Plan, job: Job): (name: string) => Bound | undefined {
  return (name) => {
    const index = findEntry(plan, name) ?? -1;
    const taken = isLive(plan.entries[index], job.control.bytes) ? job.taken[index] : undefined;
    if (taken?.entry !== 'reading' || taken.beyond === undefined) return undefined;
    return { beyond: taken.beyond, amount: taken.quantity };
  };
}

const compiled = new WeakMap<TypedAmount, ReturnType<typeof compileAmount>>();

/**
 * The value that a tolerance is held against, or why there is none: the names of what is missing, or of what lies beyond
 * its scale.
 */
export function measuredBy(
  tolerance: PlanTolerance,
  read: Read,
  boundOf: (name: string) => Bound | undefined = () => undefined,
): Measured {
  let value = compiled.get(tolerance.value);
  if (value === undefined) {
    value = compileAmount(tolerance.value);
    compiled.set(tolerance.value, value);
  }
  const answer = value(read);
  if ('amount' in answer) return { amount: answer.amount };
  const missing = answer.lacks.flatMap((lack) => namesOf(lack, tolerance));
  // What lies beyond its scale is recorded: it has no value, and is not missing.
  const bounds = missing.map(boundOf);
  const [bound] = bounds;
  if (bound === undefined || bounds.includes(undefined)) return { missing };
  return tolerance.value.node === 'name' ? { bound } : { beyond: missing };
}

/** The names of readings to take, or to take again, for want of which there is no value. */
function namesOf(lack: Lack, { of }: PlanTolerance): readonly string[] {
  if ('name' in lack) return [lack.name];
  return lack.lack === 'outside-table' ? lack.names : [of];
}
