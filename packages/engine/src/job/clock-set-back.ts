import type { Plan } from '../model/plan.ts';
import { PHASE, progressOf } from './control.ts';
import { spanOf } from './elapsed.ts';
import type { Job } from './job.ts';
import type { Refusal } from './refusal.ts';

/** The refusal of what would judge a time that ends before it begins: the clock of the job was set back in between. */
export function clockSetBack(plan: Plan, job: Job): Refusal | undefined {
  for (const one of plan.elapsed) {
    // A time that ends with another step is looked at as soon as that is done; the others where they are judged.
    if (one.until === undefined && !one.judgedBy.some((at) => waitsForVerdict(plan, job, at))) continue;
    if ((spanOf(plan, job, one)?.sign ?? 0) >= 0) continue;
    const from = plan.nodes[one.since]?.path ?? '';
    const to = one.until === undefined ? undefined : plan.nodes[one.until]?.path;
    const end = to === undefined ? `it is ${job.at} now` : `${to} at ${job.doneAt.get(one.until ?? -1)}`;
    return {
      code: 'bad-time',
      message: `${from} was done at ${job.doneAt.get(one.since)}, and ${end}: the clock was set back in between, so the time since then is not known.`,
      remedy: `Set the clock right, and say it again. If it was wrong before, strike what was done at ${to ?? from}, and do it again.`,
      about: from,
    };
  }
  return undefined;
}

const waitsForVerdict = (plan: Plan, { control }: Job, at: number): boolean =>
  control.at === at && progressOf(plan, control, at) === PHASE.judge;
