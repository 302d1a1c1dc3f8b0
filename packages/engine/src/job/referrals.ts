import type { Plan } from '../model/plan.ts';
import { isLeftOut, PHASE, progressOf } from './control.ts';
import { findNode } from './find.ts';
import type { Job } from './job.ts';

/** A procedure that a job has led to, and the fact that says so. */
export interface Referral {
  readonly pack: string;
  readonly procedure: string;
  readonly title: string;
  readonly step: string;
  readonly seq: number;
}

/**
 * What a job has led to so far, each procedure once and in the order of confirming. What was struck, what is to be confirmed
 * again after a rework, and what lies on a way that the job no longer takes does not count.
 */
export function referrals(plan: Plan, job: Job): readonly Referral[] {
  const last = new Map<string, Referral | undefined>();
  for (const { seq, fact } of job.facts) {
    if (fact.kind !== 'referred' && fact.kind !== 'omitted') continue;
    const { step } = fact;
    last.delete(step);
    if (fact.kind === 'omitted' || !stands(plan, job, step)) continue;
    const { pack, procedure, title } = fact;
    last.set(step, { pack, procedure, title, step, seq });
  }
  const found = new Map<string, Referral>();
  for (const one of last.values())
    if (one !== undefined && !found.has(`${one.pack}/${one.procedure}`))
      found.set(`${one.pack}/${one.procedure}`, one);
  return [...found.values()];
}

function stands(plan: Plan, { control }: Job, step: string): boolean {
  const node = findNode(plan, step) ?? -1;
  const progress = progressOf(plan, control, node);
  return progress > PHASE.act && progress <= PHASE.done && !isLeftOut(plan, control, node);
}
