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
  return probabilityInside(
    { fromLow: low && value.minus(low), fromHigh: high?.minus(value) },
    variance,
    degreesOfFreedom,
  );
}

/** How far a value lies inside each limit that is there, in base units; negative outside of it. */
export interface Distances {
  readonly fromLow: Rational | undefined;
  readonly fromHigh: Rational | undefined;
}

/** The same from the distances to the limits. */
export function probabilityInside(
  { fromLow, fromHigh }: Distances,
  variance: Rational,
  degreesOfFreedom: number,
): number {
  if (variance.sign <= 0) return (fromLow?.sign ?? 0) >= 0 && (fromHigh?.sign ?? 0) >= 0 ? 1 : 0;
  const u = deviationOf(variance);
  const a = fromLow === undefined ? Number.NEGATIVE_INFINITY : -fromLow.toNumber() / u;
  const b = fromHigh === undefined ? Number.POSITIVE_INFINITY : fromHigh.toNumber() / u;
  if (degreesOfFreedom === Number.POSITIVE_INFINITY) return between(a, b, normalCumulative, degreesOfFreedom);
  return between(a, b, studentCumulative, Math.max(degreesOfFreedom, 1));
}

const deviations = new WeakMap<Rational, number>();

/** The square root of a variance, kept: an instrument has the same one reading after reading. */
function deviationOf(variance: Rational): number {
  const kept = deviations.get(variance);
  if (kept !== undefined) return kept;
  const deviation = Math.sqrt(variance.toNumber());
  deviations.set(variance, deviation);
  return deviation;
}

/** The probability between a and b of a distribution that is symmetric about 0. */
function between(a: number, b: number, cumulative: (t: number, nu: number) => number, nu: number): number {
  if (a > b) return 0;
  if (a > 0) return cumulative(-a, nu) - cumulative(-b, nu);
  if (b < 0) return cumulative(b, nu) - cumulative(a, nu);
  return 1 - cumulative(a, nu) - cumulative(-b, nu);
}
