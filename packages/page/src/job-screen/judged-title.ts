import type { Fact, Pack, Plan, PlanTolerance } from '@ferrule/engine';
import { derivationOf, entryTitle, nameOf, titleWithPlace } from '@ferrule/print';

/**
 * What was judged, in words: the title of the tolerance, or where the pack gives it none, that of the reading or of the value
 * that is worked out.
 */
export function judgedTitle(
  telling: { readonly plan: Plan; readonly pack: Pack; readonly facts: readonly Fact[] },
  tolerance: PlanTolerance,
): string {
  const { plan } = telling;
  const { name, title, value, entries } = tolerance;
  const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
  const own = nameOf(name.slice(name.lastIndexOf('.') + 1));
  if (title.toLowerCase() !== own.toLowerCase()) return capital(titleWithPlace(tolerance));
  const read = plan.entries[entries[0] ?? -1]?.name;
  if (value.node === 'name' && read !== undefined) return capital(entryTitle(plan, read));
  const derived = derivationOf(telling, tolerance)?.title;
  return capital(titleWithPlace(derived === undefined ? tolerance : { ...tolerance, title: derived }));
}
