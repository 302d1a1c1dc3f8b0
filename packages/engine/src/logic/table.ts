import type { Kind, Quantity, Rational } from '../quantity/index.ts';

/** Points through which a value changes in proportion: at least two, in the order of their arguments. */
export interface Table {
  readonly id: string;
  readonly title: string;
  readonly of: Kind;
  readonly gives: Kind;
  readonly points: readonly (readonly [at: Quantity, value: Quantity])[];
}

/**
 * What a table gives at an argument, in base units, by linear interpolation between the two points that it lies between,
 * and the slope there; at a point in between the steeper of the two slopes, since the smaller one would flatter what hangs
 * on it. Undefined outside of the table: nothing is known there, and a line that is drawn on would be a guess.
 */
export function lookUp(
  { points }: Table,
  at: Rational,
): { readonly value: Rational; readonly slope: Rational } | undefined {
  let found: { value: Rational; slope: Rational } | undefined;
  for (let i = 1; i < points.length; i++) {
    const [[x, y] = [], [nextX, nextY] = []] = [points[i - 1], points[i]];
    if (!x || !y || !nextX || !nextY) break;
    if (at.compare(x.value) < 0) break;
    if (at.compare(nextX.value) > 0) continue;
    const slope = nextY.value.minus(y.value).over(nextX.value.minus(x.value));
    if (found && slope.abs().compare(found.slope.abs()) <= 0) break;
    found = { value: y.value.plus(slope.times(at.minus(x.value))), slope };
  }
  return found;
}
