import type { Plan, StepNode } from '@ferrule/engine';
import type { Subject } from './diagnostics/diagnostic-kind.ts';

/** A step in a plan: what a written step comes to for one variant, in one round of the loops around it. */
export interface ResolvedStep {
  readonly plan: Plan;
  readonly node: StepNode;
}

const known = new WeakMap<readonly Plan[], ReadonlyMap<string, readonly ResolvedStep[]>>();

/** What each written step comes to, by the pointer of the step as it is written. */
export function resolvedSteps({ plans }: Subject): ReadonlyMap<string, readonly ResolvedStep[]> {
  const before = known.get(plans);
  if (before !== undefined) return before;
  const found = new Map<string, ResolvedStep[]>();
  for (const plan of plans) {
    for (const node of plan.nodes) {
      if (node.node !== 'step') continue;
      const steps = found.get(node.pointer);
      if (steps === undefined) found.set(node.pointer, [{ plan, node }]);
      else steps.push({ plan, node });
    }
  }
  known.set(plans, found);
  return found;
}
