import { Rational } from '@ferrule/engine';

/** Limits of one revision, in the base unit of the kind; both ends are inside. */
export interface LimitPair {
  readonly low?: Rational;
  readonly high?: Rational;
}

/** By what values are counted: the limits that they are held against, and the edges of the bins of the picture. */
export interface SpreadScale {
  readonly limits: readonly LimitPair[];
  /** In ascending order. A bin reaches from one edge to the next; what lies before the first or behind the last is counted too. */
  readonly edges: readonly Rational[];
}

/** Bins between the outermost limits, and to either side of them half as many. */
const BINS_INSIDE = 10;
const BINS_BESIDE = 5;
/** Of what is plausible, where there is one limit only: a bin is a fortieth part of it. */
const BINS_OF_PLAUSIBLE = 40;

/**
 * The scale for values that are held against limits: ten bins between the lowest and the highest limit of all revisions and
 * five to either side, or, where all limits are one value, bins around it by what is plausible. Without limits, or with nothing
 * to take the width of a bin from, there are no bins.
 */
export function scaleFor(
  limits: readonly LimitPair[],
  plausible?: readonly [Rational, Rational],
): SpreadScale {
  const all = limits
    .flatMap(({ low, high }) => [low, high])
    .filter((one) => one !== undefined)
    .toSorted((one, other) => one.compare(other));
  const [lowest] = all;
  const highest = all.at(-1);
  if (lowest === undefined || highest === undefined) return { limits, edges: [] };
  const between = highest.minus(lowest);
  if (between.sign > 0) {
    const width = between.over(Rational.of(BINS_INSIDE));
    return { limits, edges: edgesFrom(lowest, width, -BINS_BESIDE, BINS_INSIDE + BINS_BESIDE) };
  }
  const reach = plausible?.[1].minus(plausible[0]);
  if (reach === undefined || reach.sign <= 0) return { limits, edges: [] };
  const width = reach.over(Rational.of(BINS_OF_PLAUSIBLE));
  return { limits, edges: edgesFrom(lowest, width, -BINS_INSIDE, BINS_INSIDE) };
}

const edgesFrom = (from: Rational, width: Rational, first: number, last: number): readonly Rational[] =>
  Array.from({ length: last - first + 1 }, (_, place) => from.plus(width.times(Rational.of(first + place))));
