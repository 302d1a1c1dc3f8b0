import { type Replayed, replayWay } from '@ferrule/check';
import { type Plan, type PlanTolerance, Rational, type Signal } from '@ferrule/engine';

const byLimits: PlanTolerance['rule'] = { rule: 'simple', warnAbove: Rational.of(1, 10) };

/**
 * A job that goes a way. Where a guard band keeps values from being found, they are looked for by the limits alone: the
 * uncertainty that such a band is made of is known only once a value is taken.
 */
export function drive(plan: Plan, signals: readonly Signal[], stays: boolean): Replayed {
  const replayed = replayWay(plan, signals, { stays });
  if (replayed.failed?.because !== 'values-not-found' || plan.tolerances.every(isByLimits)) return replayed;
  const plain = replayWay(plainly(plan), signals, { stays });
  return plain.failed === undefined ? plain : replayed;
}

const isByLimits = ({ rule }: PlanTolerance): boolean => rule.rule === 'simple';

/** The plan with every value judged by its limits alone. */
export const plainly = (plan: Plan): Plan => ({
  ...plan,
  tolerances: plan.tolerances.map((one) => (isByLimits(one) ? one : { ...one, rule: byLimits })),
});
