import { type Amount, addAmounts, multiplyAmounts, Rational } from '../quantity/index.ts';
import { type Limits, marginOf } from './limits.ts';

/** More sizes, pieces in a stack, or different totals than any drawer needs; beyond them a stock is refused. */
export const MOST_SIZES = 200;
export const MOST_IN_STACK = 4;
export const MOST_TOTALS = 5_000;

/** Pieces of a stock put together, the largest first. Values are in the base unit of the kind of the stock. */
export interface Stack {
  readonly total: Rational;
  readonly sizes: readonly Rational[];
}

/** The least and the greatest total that a stack may have, in base units. */
export interface Totals {
  readonly least?: Rational;
  readonly greatest?: Rational;
}

/**
 * Every total that up to `most` pieces of a stock come to, ascending, each with the stack of fewest pieces that has it
 * and, of several such, the one with the larger single pieces. A size can be taken more than once. Sizes are greater
 * than zero. Undefined when the totals are more than `MOST_TOTALS`: a regular drawer has few, since many stacks come to
 * the same total.
 */
export function stacksOf(
  sizes: readonly Rational[],
  most: number,
  { least, greatest }: Totals = {},
): readonly Stack[] | undefined {
  const found = new Map<string, Stack>();
  let last: ReadonlyMap<string, Stack> = new Map([['0', { total: Rational.zero, sizes: [] }]]);
  for (let count = 0; count < most; count++) {
    // Without its smallest piece, the best stack of so many pieces is the best one of one piece less.
    const next = new Map<string, Stack>();
    for (const { total: before, sizes: pieces } of last.values()) {
      for (const size of sizes) {
        const smallest = pieces.at(-1);
        if (smallest !== undefined && size.compare(smallest) > 0) continue;
        const total = before.plus(size);
        if (greatest !== undefined && total.compare(greatest) > 0) continue;
        const made = [...pieces, size];
        const key = total.toFraction();
        const known = next.get(key);
        if (known === undefined || compareStacks(made, known.sizes) < 0)
          next.set(key, { total, sizes: made });
        if (next.size > MOST_TOTALS) return undefined;
      }
    }
    for (const [key, stack] of next) if (!found.has(key)) found.set(key, stack);
    last = next;
  }
  return [...found.values()]
    .filter((one) => least === undefined || one.total.compare(least) >= 0)
    .sort((a, b) => a.total.compare(b.total));
}

/** Fewer pieces first, then the larger single ones: below zero when `a` stands before `b`. */
function compareStacks(a: readonly Rational[], b: readonly Rational[]): number {
  if (a.length !== b.length) return a.length - b.length;
  for (const [place, size] of a.entries()) {
    const order = b[place]?.compare(size) ?? 0;
    if (order !== 0) return order;
  }
  return 0;
}

/** What a choice from stock starts from. */
export interface StockQuestion {
  /** What was found with what is fitted now, in the kind of the limits. */
  readonly value: Amount;
  /** Its variance, in squared base units; absent when its uncertainty is not known. */
  readonly valueVariance?: Rational;
  /** Size of what is fitted now. */
  readonly fitted: Amount;
  readonly fittedVariance?: Rational;
  /** How much the value rises for each unit of size; negative where more lowers it. */
  readonly sensitivity: Amount;
  readonly limits: Limits;
  readonly stacks: readonly Stack[];
  /** Variance of the size of one piece; what is not stated counts as none. */
  readonly sizeVariance?: Rational;
  /** Whether what is fitted now may stay: it may not where its size is outside the totals that are allowed. */
  readonly mayStay: boolean;
}

/** One choice and what it would give. */
export interface Candidate {
  /** The pieces, the largest first; none when what is fitted now stays. */
  readonly sizes: readonly Rational[];
  readonly total: Rational;
  readonly predicted: Amount;
  /** Predicted less the value aimed at: nominal, the middle of two limits, or the one limit. Base units of the limits. */
  readonly offset: Rational;
  /** Variance of the prediction, first order (JCGM 100:2008, 5.1.2): value, pieces and fitted size taken as independent. */
  readonly variance?: Rational;
}

export type StockChoice =
  | { readonly choice: 'chosen'; readonly best: Candidate }
  /** `excess` is how far the nearest misses, never negative; there is no nearest where nothing is in stock. */
  | { readonly choice: 'none-does'; readonly nearest?: Candidate; readonly excess?: Rational };

/**
 * Which stack brings a value nearest to nominal inside its limits, by v' = v + c · (s − s₀). What is fitted now is one of
 * the choices, as it is: of equal ones it comes first, then fewest pieces, then the larger single ones.
 *
 * Aimed at is nominal, or the middle of two limits. With one limit there is nothing to aim at but the limit itself: then
 * the nearest is taken that lies inside by twice the standard uncertainty of its prediction (where that is known), and
 * where none does, the one that lies farthest inside. Of choices outside, the nearest is the one that misses by least.
 * Every comparison is exact. Throws where the kinds do not go together: the model sees to that.
 */
export function chooseFromStock(question: StockQuestion): StockChoice {
  const { limits, stacks, fitted, mayStay } = question;
  const one = multiplyAmounts(question.sensitivity, { kind: fitted.kind, value: Rational.one });
  if ('fault' in one) throw new Error(`a ${question.sensitivity.kind} is no sensitivity to ${fitted.kind}`);
  const slope = one.amount.value;
  const aim = aimOf(limits);
  const candidate = (sizes: readonly Rational[], total: Rational): Rated => {
    const change = multiplyAmounts(question.sensitivity, {
      kind: fitted.kind,
      value: total.minus(fitted.value),
    });
    const sum = 'fault' in change ? change : addAmounts(question.value, change.amount);
    if ('fault' in sum) throw new Error(`${question.value.kind} is not changed by ${one.amount.kind}`);
    const predicted = sum.amount;
    const moved = sizes.length === 0 ? Rational.zero : movedVariance(question, slope, sizes.length);
    const variance = question.valueVariance?.plus(moved);
    return {
      sizes,
      total,
      predicted,
      offset: predicted.value.minus(aim),
      ...(variance === undefined ? {} : { variance }),
      margin: marginOf(predicted.value, limits),
    };
  };
  const isOneSided = limits.low === undefined || limits.high === undefined;
  const order = limits.nominal === undefined && isOneSided ? compareOneSided : compareTwoSided;
  let best = mayStay ? candidate([], fitted.value) : undefined;
  for (const { sizes, total } of stacks) {
    const next = candidate(sizes, total);
    if (best === undefined || order(next, best) < 0) best = next;
  }
  if (best === undefined) return { choice: 'none-does' };
  const { margin, ...found } = best;
  return margin.sign >= 0
    ? { choice: 'chosen', best: found }
    : { choice: 'none-does', nearest: found, excess: margin.negated() };
}

type Rated = Candidate & { readonly margin: Rational };

/** c² · (u² of each piece that comes in + u² of what goes out). */
function movedVariance(
  { sizeVariance = Rational.zero, fittedVariance = Rational.zero }: StockQuestion,
  slope: Rational,
  pieces: number,
): Rational {
  const sizes = sizeVariance.times(Rational.of(pieces)).plus(fittedVariance);
  return slope.times(slope).times(sizes);
}

/** The value that choices are held against, in base units. */
function aimOf({ low, high, nominal }: Limits): Rational {
  if (nominal !== undefined) return nominal.value;
  if (low !== undefined && high !== undefined) return low.value.plus(high.value).over(Rational.of(2));
  const only = low ?? high;
  if (only === undefined) throw new Error('limits without a side');
  return only.value;
}

/** Inside before outside; inside by the distance from the aim, outside by the miss and then by that distance. */
function compareTwoSided(a: Rated, b: Rated): number {
  const isIn = a.margin.sign >= 0;
  if (isIn !== b.margin.sign >= 0) return isIn ? -1 : 1;
  const miss = isIn ? 0 : b.margin.compare(a.margin);
  return miss || a.offset.abs().compare(b.offset.abs()) || compareStacks(a.sizes, b.sizes);
}

/** Clear of the limit before not clear; of the clear ones the nearest to the limit, of the others the farthest inside. */
function compareOneSided(a: Rated, b: Rated): number {
  const clear = isClear(a);
  if (clear !== isClear(b)) return clear ? -1 : 1;
  const order = a.margin.compare(b.margin);
  return (clear ? order : -order) || compareStacks(a.sizes, b.sizes);
}

const FOUR = Rational.of(4);

/** Whether a prediction lies inside by twice its standard uncertainty, compared as squares. */
const isClear = ({ margin, variance = Rational.zero }: Rated): boolean =>
  margin.sign >= 0 && margin.times(margin).compare(variance.times(FOUR)) >= 0;
