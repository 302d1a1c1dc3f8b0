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

/** What a scale is made by besides the limits. */
export interface ScaleOptions {
  /** Between what a value can lie; the width of a bin where the limits do not give one. */
  readonly plausible?: readonly [Rational, Rational];
  /** The step between two values that can be read apart. */
  readonly step?: Rational;
}

/** Bins between the outermost limits, and to either side of them half as many. */
const BINS_INSIDE = 10;
const BINS_BESIDE = 5;
/** Of what is plausible, where all limits are on one side: a bin is a fortieth part of it. */
const BINS_OF_PLAUSIBLE = 40;

/**
 * The scale for values that are held against limits: ten bins between the lowest and the highest limit of all revisions and
 * five to either side, or, where all limits are lower or all are upper ones, ten bins to either side of them, by what is
 * plausible. Without limits, or with nothing to take the width of a bin from, there are no bins.
 *
 * Where values go by steps, a bin is a whole number of steps wide and its edges lie between two of them, so that each bin
 * holds as many of the values that there can be.
 */
export function scaleFor(limits: readonly LimitPair[], { plausible, step }: ScaleOptions = {}): SpreadScale {
  const all = limits
    .flatMap(({ low, high }) => [low, high])
    .filter((one) => one !== undefined)
    .toSorted((one, other) => one.compare(other));
  const [lowest] = all;
  const highest = all.at(-1);
  if (lowest === undefined || highest === undefined) return { limits, edges: [] };
  const between = highest.minus(lowest);
  const hasBothSides =
    between.sign > 0 &&
    limits.some(({ low }) => low !== undefined) &&
    limits.some(({ high }) => high !== undefined);
  const reach = hasBothSides ? between : plausible?.[1].minus(plausible[0]);
  if (reach === undefined || reach.sign <= 0) return { limits, edges: [] };
  const bins = hasBothSides ? BINS_INSIDE : BINS_OF_PLAUSIBLE;
  const width = inSteps(larger(reach, between).over(Rational.of(bins)), step);
  const half = step === undefined ? Rational.zero : step.over(Rational.of(2));
  const from = lowest.minus(half);
  const inside = wholeAbove(highest.plus(half).minus(from).over(width));
  // Bins of what is not plausible would be empty.
  const most = hasBothSides ? BINS_BESIDE : BINS_INSIDE;
  const least = plausible === undefined ? most : wholeAbove(from.minus(plausible[0]).over(width));
  const below = Math.max(0, Math.min(most, least));
  return {
    limits,
    edges: Array.from({ length: below + inside + most + 1 }, (_, place) =>
      from.plus(width.times(Rational.of(place - below))),
    ),
  };
}

const larger = (a: Rational, b: Rational): Rational => (a.compare(b) > 0 ? a : b);

/** At least one step, and a whole number of them. */
const inSteps = (width: Rational, step: Rational | undefined): Rational =>
  step === undefined ? width : step.times(Rational.of(Math.max(1, wholeAbove(width.over(step)))));

/** The least whole number that is not below a number. */
const wholeAbove = (number: Rational): number => Number(number.toDecimal(0, 'up'));
