import type { Plan } from '@ferrule/engine';

/** For which variants a node of the pack stands in the plan of a job, by the pointer of the node. */
export type VariantsAt = ReadonlyMap<string, ReadonlySet<string>>;

const made = new WeakMap<readonly Plan[], VariantsAt>();

/**
 * The variants that each written node is done for, whatever performs it; of a procedure, by its pointer, those for which
 * something of it is done. A node that a condition on the variant leaves out is not in the plan, and so not here.
 */
export function variantsAt(plans: readonly Plan[]): VariantsAt {
  const known = made.get(plans);
  if (known !== undefined) return known;
  const found = new Map<string, Set<string>>();
  const note = (pointer: string, variant: string): void => {
    const variants = found.get(pointer);
    if (variants === undefined) found.set(pointer, new Set([variant]));
    else variants.add(variant);
  };
  for (const plan of plans) {
    // A loop writes the same node out many times.
    for (const pointer of new Set(plan.nodes.map((node) => node.pointer))) {
      note(pointer, plan.variant.id);
      const [procedure] = /^\/procedures\/[^/]+/.exec(pointer) ?? [];
      if (procedure !== undefined) note(procedure, plan.variant.id);
    }
  }
  made.set(plans, found);
  return found;
}
