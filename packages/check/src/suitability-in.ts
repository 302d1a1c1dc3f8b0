import { type Plan, type Suitability, suitability } from '@ferrule/engine';

const known = new WeakMap<Plan, readonly Suitability[]>();

/** Whether each tolerance of a plan can be judged with the instruments that its pack asks for, worked out once a plan. */
export function suitabilityIn(plan: Plan): readonly Suitability[] {
  const found = known.get(plan) ?? suitability(plan);
  known.set(plan, found);
  return found;
}
