import type { Comparison } from '../comparison.ts';
import type { ComparedPermitted } from '../document/generated/comparison-document.ts';
import { loosened } from './loosened.ts';
import type { NewPlans } from './new-plans.ts';
import { openSteps } from './open-steps.ts';
import { protectionsIn } from './protections.ts';
import { putBack } from './put-back.ts';
import type { Until } from './until.ts';

/** What each change that protects less, or may, lets happen; in the order of the changes. */
export function permitsOf(
  c: Comparison,
  plans: NewPlans,
  until: Until,
  which: 'all' | 'only-protections' = 'all',
): readonly ComparedPermitted[] {
  const broken = putBack(c, plans, protectionsIn(c), until);
  if (which === 'only-protections') return broken;
  return [...broken, ...loosened(c, plans, until), ...openSteps(c, plans, until)].sort(
    (a, b) => a.change - b.change,
  );
}
