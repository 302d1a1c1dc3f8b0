import { secondsOf } from '../measure/index.ts';
import type { Plan, PlanElapsed, PlanTolerance } from '../model/plan.ts';
import { type Amount, Rational } from '../quantity/index.ts';
import { PHASE, progressOf } from './control.ts';
import { hasSpan, isCounting } from './counting.ts';
import type { WrittenElapsed } from './fact.ts';
import type { Job } from './job.ts';
import { writeSeconds } from './write-time.ts';

/**
 * The time since a step in a job, exactly, in seconds: up to the last fact, or up to when the other step was done.
 * Undefined while one of them is not done. It is below zero where the clock of the job was set back.
 */
export function spanOf(plan: Plan, job: Job, elapsed: PlanElapsed): Rational | undefined {
  const { since, until } = elapsed;
  if (!hasSpan(plan, job.control, elapsed)) return undefined;
  const from = job.doneAt.get(since);
  const to = until === undefined ? job.at : job.doneAt.get(until);
  const [start, end] = [from, to].map((time) => (time === undefined ? undefined : secondsOf(time)));
  return start === undefined || end === undefined ? undefined : end.minus(start);
}

/** The value that an expression reads under the name of a time since a step; undefined where it has none. */
export function elapsedValue(plan: Plan, job: Job, name: string): Amount | undefined {
  const one = plan.elapsed.find((time) => time.name === name);
  const value = one && spanOf(plan, job, one);
  return value === undefined || value.sign < 0 ? undefined : { kind: 'time', value };
}

/** The times by which a tolerance is judged now, as a verdict keeps them. */
export function timesOf(plan: Plan, job: Job, { elapsed = [] }: PlanTolerance): readonly WrittenElapsed[] {
  return elapsed.flatMap((index) => {
    const one = plan.elapsed[index];
    const span = one && spanOf(plan, job, one);
    if (one === undefined || span === undefined) return [];
    const until = one.until === undefined ? {} : { until: plan.nodes[one.until]?.path ?? '' };
    return [{ since: plan.nodes[one.since]?.path ?? '', ...until, seconds: writeSeconds(span) }];
  });
}

/** A time since a step that runs, and is still to be judged. */
export interface RunningTime {
  /** Path of the step. */
  readonly since: string;
  /** When it was done, RFC 3339. */
  readonly at: string;
  /** Titles and limits of the tolerances by which the time itself is judged. */
  readonly limits: readonly string[];
}

/** The times that run in a job: their step is done, they have no end yet, and a step that judges them lies ahead. */
export function timesRunning(plan: Plan, job: Job): readonly RunningTime[] {
  return plan.elapsed.flatMap((one, index) => {
    const at = job.doneAt.get(one.since);
    const isEnded = one.until !== undefined && isCounting(plan, job.control, one.until);
    const isAhead = one.judgedBy.some((node) => progressOf(plan, job.control, node) <= PHASE.judge);
    if (at === undefined || isEnded || !isAhead || !isCounting(plan, job.control, one.since)) return [];
    const limits = plan.tolerances.flatMap(({ elapsed, value, title, says }) =>
      elapsed?.includes(index) === true && value.node === 'name' ? `${title}: ${says}` : [],
    );
    return [{ since: plan.nodes[one.since]?.path ?? '', at, limits }];
  });
}

/** The seconds to which the time of a clock is taken as known. */
export const CLOCK_RESOLUTION = Rational.one;
