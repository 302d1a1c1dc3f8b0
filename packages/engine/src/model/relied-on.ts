import type { Check, Plan } from './plan.ts';

/** The entries that the check of a step goes by, wherever they were taken; none where it judges an entry of its own. */
export function reliedOn(
  plan: Pick<Plan, 'tolerances' | 'selections'>,
  check: Check | undefined,
): readonly number[] {
  if (check?.check === 'tolerance') return plan.tolerances[check.tolerance]?.entries ?? [];
  return check?.check === 'stock' ? (plan.selections[check.selection]?.entries ?? []) : [];
}
