import { compileAmount, type Read, type TypedAmount } from '../logic/index.ts';
import type { Measured } from '../measure/index.ts';
import type { Plan, PlanTolerance } from '../model/plan.ts';
import { isLive } from './control.ts';
import { findEntry } from './find.ts';
import { type Job, recordedValue } from './job.ts';

/** Reads what a job has recorded and what still counts: struck and stale entries are as good as missing. */
export function reader(plan: Plan, job: Job): Read {
  return (name) => {
    if (name === 'variant') return plan.variant.id;
    const index = findEntry(plan, name);
    if (index === undefined || !isLive(plan.entries[index], job.control.bytes)) return undefined;
    return recordedValue(job.taken[index]);
  };
}

const compiled = new WeakMap<TypedAmount, ReturnType<typeof compileAmount>>();

/** The value that a tolerance is held against, or the names of what is missing for it. */
export function measuredBy(tolerance: PlanTolerance, read: Read): Measured {
  let value = compiled.get(tolerance.value);
  if (value === undefined) {
    value = compileAmount(tolerance.value);
    compiled.set(tolerance.value, value);
  }
  const answer = value(read);
  if ('amount' in answer) return { amount: answer.amount };
  return {
    missing: answer.lacks.map((lack) => (lack.lack === 'divided-by-zero' ? tolerance.of : lack.name)),
  };
}
