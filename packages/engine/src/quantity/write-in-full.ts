import { type Amount, valueIn, writeAmount } from './quantity.ts';
import { Rational } from './rational.ts';
import type { Unit } from './units.ts';

const MOST_DECIMALS = 9;

/**
 * An amount as text in `unit`, with `decimals` and as many more as it takes to be exact; rounded to nine where it never is.
 * Throws a RangeError when the kinds differ.
 */
export function writeInFull(amount: Amount, unit: Unit, decimals: number): string {
  const value = valueIn(amount, unit);
  for (let places = decimals; places < MOST_DECIMALS; places++)
    if (Rational.parse(value.toDecimal(places))?.equals(value)) return writeAmount(amount, unit, places);
  return writeAmount(amount, unit, MOST_DECIMALS);
}
