import { type Distances, probabilityInside } from './conformity-probability.ts';
import type { Uncertainty } from './uncertainty.ts';

export const MILLION = 1_000_000;

/** The probability that the true value lies inside the tolerance limits (JCGM 106, 7), in whole millionths, rounded down. */
export const conformingMillionths = (
  distances: Distances,
  { variance, degreesOfFreedom }: Uncertainty,
): number => Math.floor(probabilityInside(distances, variance, degreesOfFreedom) * MILLION);
