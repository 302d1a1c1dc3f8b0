import { Rational } from '../quantity/index.ts';

const HALF = Rational.of(1, 2);

/**
 * A value on a circle, moved by whole turns to where it lies nearest to `middle`: above `middle − period/2`, and up to
 * `middle + period/2`. All in one unit.
 */
export function nearestTurn(value: Rational, period: Rational, middle: Rational): Rational {
  const top = middle.plus(period.times(HALF));
  return top.minus(top.minus(value).mod(period));
}

/**
 * The mean of values on a circle, from 0 up to but not including `period`: 359.5° and 0.5° give 0°. It is the arithmetic
 * mean of the values side by side, exactly. Undefined without a value, and where they lie over half of the circle or
 * more, since then they have no middle.
 */
export function meanOnCircle(values: readonly Rational[], period: Rational): Rational | undefined {
  const [first] = values;
  if (first === undefined) return undefined;
  let low = first;
  let high = first;
  let sum = Rational.zero;
  for (const value of values) {
    const beside = nearestTurn(value, period, first);
    if (beside.compare(low) < 0) low = beside;
    if (beside.compare(high) > 0) high = beside;
    sum = sum.plus(beside);
  }
  if (high.minus(low).compare(period.times(HALF)) >= 0) return undefined;
  return sum.over(Rational.of(values.length)).mod(period);
}
