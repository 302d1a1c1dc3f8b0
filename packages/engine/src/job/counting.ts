import type { Plan, PlanElapsed, StepNode } from '../model/plan.ts';
import { type Control, PHASE, progressOf } from './control.ts';

/** The last phase of a step in which it is not done yet, as far as time counts from it: its act, or else its entries. */
export const lastUndone = ({ act }: StepNode): number => (act === undefined ? PHASE.entries : PHASE.act);

/** Whether a step is done as far as time counts from it. */
export function isCounting(plan: Plan, control: Pick<Control, 'bytes'>, node: number): boolean {
  const step = plan.nodes[node];
  if (step?.node !== 'step') return false;
  const progress = progressOf(plan, control, node);
  return progress > lastUndone(step) && progress !== PHASE.passed;
}

/** Whether both ends of a time are there; one that ends with the verdict has its end then. */
export const hasSpan = (
  plan: Plan,
  control: Pick<Control, 'bytes'>,
  { since, until }: PlanElapsed,
): boolean => isCounting(plan, control, since) && (until === undefined || isCounting(plan, control, until));

/** Whether the expressions of a plan may read a name as the time since a step, and it is there. */
export function isElapsed(plan: Plan, control: Pick<Control, 'bytes'>, name: string): boolean {
  const one = plan.elapsed.find((time) => time.name === name);
  return one !== undefined && hasSpan(plan, control, one);
}
