import { Rational } from '../quantity/index.ts';
import { normalQuantile } from './normal.ts';

const GRID = 1000;

/**
 * How many standard uncertainties a value has to lie inside one limit, so that it conforms with this probability
 * (JCGM 106, 8.3.2.2: 1.645 for 95 %), on a grid of 0.001 and rounded up. For a probability between 0.5 and 1.
 */
export const oneSidedFactor = (probability: Rational): Rational =>
  Rational.of(Math.ceil(normalQuantile(probability.toNumber()) * GRID), GRID);
