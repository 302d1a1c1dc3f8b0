import { Rational } from '../quantity/index.ts';

/** What several readings of one thing come to, exactly, in base units. */
export interface Summary {
  readonly n: number;
  readonly mean: Rational;
  readonly lowest: Rational;
  readonly highest: Rational;
  /** Highest less lowest. */
  readonly spread: Rational;
  readonly degreesOfFreedom: number;
  /** s², over n − 1 (JCGM 100, 4.2.2); undefined for a single reading. */
  readonly variance?: Rational;
  /** s²/n, the variance of the mean (JCGM 100, 4.2.3). */
  readonly varianceOfMean?: Rational;
}

/** Summarises readings by JCGM 100, 4.2. Undefined when there are none. */
export function summarise(values: readonly Rational[]): Summary | undefined {
  const [first] = values;
  if (first === undefined) return undefined;
  let lowest = first;
  let highest = first;
  // Counted from the first reading, so that the sums stay small.
  let sum = Rational.zero;
  let squares = Rational.zero;
  for (const value of values) {
    if (value.compare(lowest) < 0) lowest = value;
    if (value.compare(highest) > 0) highest = value;
    const off = value.minus(first);
    sum = sum.plus(off);
    squares = squares.plus(off.times(off));
  }
  const n = Rational.of(values.length);
  const degreesOfFreedom = values.length - 1;
  const summary = {
    n: values.length,
    mean: first.plus(sum.over(n)),
    lowest,
    highest,
    spread: highest.minus(lowest),
    degreesOfFreedom,
  };
  if (degreesOfFreedom === 0) return summary;
  const variance = squares.minus(sum.times(sum).over(n)).over(Rational.of(degreesOfFreedom));
  return { ...summary, variance, varianceOfMean: variance.over(n) };
}
