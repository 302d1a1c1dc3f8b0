import type { StepNode } from '../model/plan.ts';

/** Whether the act of a step changes a state, or makes a reading stale. */
export const changesEngine = ({ effects, disturbs }: StepNode): boolean =>
  effects.length > 0 || disturbs.length > 0;
