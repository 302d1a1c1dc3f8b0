import type { Plan, PlanElapsed } from '../model/plan.ts';

const known = new WeakMap<Plan, ReadonlyMap<number, readonly PlanElapsed[]>>();

/** What counts from a step, or up to it. */
export function countedAt(plan: Plan, node: number): readonly PlanElapsed[] {
  let made = known.get(plan);
  if (made === undefined) {
    const lists = new Map<number, PlanElapsed[]>();
    for (const one of plan.elapsed)
      for (const at of one.until === undefined ? [one.since] : [one.since, one.until])
        lists.set(at, [...(lists.get(at) ?? []), one]);
    made = lists;
    known.set(plan, made);
  }
  return made.get(node) ?? [];
}
