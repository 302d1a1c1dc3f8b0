import type { Control } from '../job/index.ts';
import { controlLength } from '../job/since.ts';
import type { Plan } from '../model/plan.ts';
import { explore } from './explore.ts';

const ways = new WeakMap<Plan, ReadonlyMap<number, Control>>();

/** For each node that can be reached, the control in which a shortest way first comes to it. Made once for a plan. */
export function firstWays(plan: Plan): ReadonlyMap<number, Control> {
  const known = ways.get(plan);
  if (known !== undefined) return known;
  const found = new Map<number, Control>();
  const bytes = controlLength(plan);
  explore(plan, {
    withoutStrikes: true,
    onReach: (control) => {
      if (control.hold < 0 && !found.has(control.at))
        found.set(control.at, { ...control, bytes: control.bytes.slice(0, bytes) });
    },
  });
  ways.set(plan, found);
  return found;
}
