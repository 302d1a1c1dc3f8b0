import type { Rational } from '../quantity/index.ts';
import { normalCumulative } from './normal.ts';
import { studentCumulative } from './student.ts';

/** A measured value, its uncertainty and the tolerance limits that are there, in base units. */
export interface MeasuredWithin {
  readonly value: Rational;
  readonly low?: Rational;
  readonly high?: Rational;
  /** The square of the combined standard uncertainty. */
  readonly variance: Rational;
  /** Effective degrees of freedom; infinitely many when absent. Fewer than one are taken as one. */
  readonly degreesOfFreedom?: number;
}

/**
 * The probability that the true value lies inside the tolerance limits (JCGM 106, 7.2 to 7.4), from 0 to 1: for a normal
 * distribution around the measured value or, with finitely many degrees of freedom, for a scaled and shifted t
 * distribution (JCGM 101, 6.4.9). Without uncertainty it is exactly 0 or 1, the limits included. Differences to the
 * limits are taken exactly, and far outside of them two small tails are subtracted, not two numbers near 1.
 */
export function probabilityOfConformity({
  value,
  low,
  high,
  variance,
  degreesOfFreedom = Number.POSITIVE_INFINITY,
}: MeasuredWithin): number {
  const below = low === undefined ? undefined : low.minus(value);
  const above = high === undefined ? undefined : high.minus(value);
  if (variance.sign <= 0) return (below?.sign ?? 0) <= 0 && (above?.sign ?? 0) >= 0 ? 1 : 0;
  const u = Math.sqrt(variance.toNumber());
  const a = below === undefined ? Number.NEGATIVE_INFINITY : below.toNumber() / u;
  const b = above === undefined ? Number.POSITIVE_INFINITY : above.toNumber() / u;
  if (degreesOfFreedom === Number.POSITIVE_INFINITY) return between(a, b, normalCumulative, degreesOfFreedom);
  return between(a, b, studentCumulative, degreesOfFreedom >= 1 ? degreesOfFreedom : 1);
}

/** The probability between a and b of a distribution that is symmetric about 0. */
function between(a: number, b: number, cumulative: (t: number, nu: number) => number, nu: number): number {
  if (a > b) return 0;
  if (a > 0) return cumulative(-a, nu) - cumulative(-b, nu);
  if (b < 0) return cumulative(b, nu) - cumulative(a, nu);
  return 1 - cumulative(a, nu) - cumulative(-b, nu);
}
