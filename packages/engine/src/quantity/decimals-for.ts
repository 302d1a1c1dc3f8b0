import { Rational } from './rational.ts';
import type { Unit } from './units.ts';

const MOST_DECIMALS = 12;
const TENTH = Rational.of(1, 10);

/**
 * With how many decimals a value is written in `unit` so that a distance from another one (base units) is still seen, to a
 * tenth of it: at least `decimals`, at most 12.
 */
export function decimalsFor(distance: Rational, unit: Unit, decimals: number): number {
  const finest = distance.abs().over(unit.factor).times(TENTH);
  let places = decimals;
  if (finest.sign === 0) return places;
  for (let step = Rational.one.over(Rational.of(10 ** places)); places < MOST_DECIMALS; places++) {
    if (step.compare(finest) <= 0) break;
    step = step.times(TENTH);
  }
  return places;
}
