import { Rational } from '../quantity/index.ts';
import { summarise } from './repeats.ts';
import { studentTailQuantile } from './student.ts';

const GRID = 1_000_000;
const SIGNIFICANCE = 0.05;
const critical = new Map<number, Rational>();

/**
 * Which of three or more values Grubbs' test for one outlying observation finds to lie too far from the mean
 * (ISO 5725-2:1994, 7.3.4), by its place: beyond the critical value of 5 %, for either side. The standard calls what lies
 * beyond that of 1 % an outlier and the rest stragglers. Undefined when there is none, and when two lie equally far,
 * since then there is not one. Nothing is dropped. Exact but for the critical value.
 */
export function outlierOf(values: readonly Rational[]): number | undefined {
  const summary = summarise(values);
  if (summary?.variance === undefined || summary.variance.sign === 0 || summary.n < 3) return undefined;
  const { mean, variance } = summary;
  const off = values.map((value) => value.minus(mean).abs());
  const farthest = off.reduce((a, b) => (b.compare(a) > 0 ? b : a));
  if (farthest.times(farthest).over(variance).compare(criticalSquare(summary.n)) <= 0) return undefined;
  const place = off.findIndex((distance) => distance.equals(farthest));
  return off.findLastIndex((distance) => distance.equals(farthest)) === place ? place : undefined;
}

/**
 * The square of the critical value of Grubbs' statistic for n values, 5 % on two sides, to the nearest millionth:
 * (n − 1)²/n · t²/(n − 2 + t²), with the t of n − 2 degrees of freedom that is passed with a probability of 0.05/2n
 * (F. E. Grubbs, Technometrics 11 (1969) 1–21).
 */
export function criticalSquare(n: number): Rational {
  const known = critical.get(n);
  if (known !== undefined) return known;
  const t = studentTailQuantile(SIGNIFICANCE / (2 * n), n - 2);
  const square = (((n - 1) * (n - 1)) / n) * ((t * t) / (n - 2 + t * t));
  const held = Rational.of(Math.floor(square * GRID + 0.5), GRID);
  if (critical.size < 1000) critical.set(n, held);
  return held;
}
