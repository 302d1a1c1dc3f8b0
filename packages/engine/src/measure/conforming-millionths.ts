import type { Rational } from '../quantity/index.ts';
import { probabilityOfConformity } from './conformity-probability.ts';
import type { Limits } from './limits.ts';
import type { Uncertainty } from './uncertainty.ts';

export const MILLION = 1_000_000;

/** The probability that the true value lies inside the tolerance limits (JCGM 106, 7), in whole millionths, rounded down. */
export function conformingMillionths(
  value: Rational,
  { low, high }: Limits,
  uncertainty: Uncertainty,
): number {
  const probability = probabilityOfConformity({
    value,
    ...(low === undefined ? {} : { low: low.value }),
    ...(high === undefined ? {} : { high: high.value }),
    variance: uncertainty.variance,
    degreesOfFreedom: uncertainty.degreesOfFreedom,
  });
  return Math.floor(probability * MILLION);
}
