import {
  baseUnit,
  Rational,
  rootOf,
  spanKind,
  type Unit,
  type VerdictWord,
  valueIn,
  writeAmount,
} from '@ferrule/engine';
import { type LimitPair, Spread, type SpreadScale, scaleFor } from '../spread/index.ts';
import type { ReadingsBins, ReadingsCounted, ReadingsPlace } from './generated/readings-document.ts';

/** Unit and digits in which values are written. */
export interface Shown {
  readonly unit: Unit;
  readonly decimals: number;
}

/** One value that counts, with the verdict on it where there is one. */
export interface Found {
  /** In the base unit; undefined where it lies beyond a scale, or cannot be worked out. */
  readonly value?: Rational;
  readonly verdict?: VerdictWord;
}

/** A mean has two digits more than a value, and so has a standard deviation. */
const MORE_DIGITS = 2;
/** The part of what lies between two limits that counts as near to one of them. */
const NEAR = Rational.of(1, 10);
/** Digits to which the root of a variance is worked out, many more than are shown. */
const ROOT_DIGITS = 18;

/** Values taken in one after the other, none of which is kept, with their verdicts and how many lie near a limit. */
export class Counting {
  readonly #spread: Spread;
  readonly #pair: LimitPair | undefined;
  readonly #verdicts = { conforming: 0, nonconforming: 0, inconclusive: 0 };
  #count = 0;
  #near = 0;

  constructor(pair: LimitPair | undefined, scale: SpreadScale = { limits: [], edges: [] }) {
    this.#pair = pair;
    this.#spread = new Spread(scale);
  }

  add({ value, verdict }: Found): void {
    this.#count += 1;
    if (verdict !== undefined && verdict !== 'unmeasured') this.#verdicts[verdict] += 1;
    if (value === undefined) return;
    this.#spread.add(value);
    if (isNear(value, this.#pair)) this.#near += 1;
  }

  /** As it stands in the document. */
  counted(shown: Shown): ReadingsCounted {
    const { summary } = this.#spread;
    const counts = { count: this.#count, ...this.#verdicts, beyond: this.#count - (summary?.n ?? 0) };
    if (summary === undefined) return counts;
    const { mean, variance, lowest, highest } = summary;
    const write = (value: Rational, more: number): string => written(value, shown, more);
    return {
      ...counts,
      mean: write(mean, MORE_DIGITS),
      ...(variance === undefined ? {} : { deviation: writeDeviation(variance, shown) }),
      lowest: write(lowest, 0),
      highest: write(highest, 0),
      ...(this.#pair?.low === undefined || this.#pair.high === undefined ? {} : { near: this.#near }),
    };
  }

  /** How many lie where; nothing where there are no bins. */
  bins(shown: Shown): ReadingsBins | undefined {
    const { scale, bins, counts } = this.#spread;
    const [first, second] = scale.edges;
    const [sides] = counts;
    if (first === undefined || second === undefined || sides === undefined) return undefined;
    const more = decimalsOfBins(second.minus(first), shown);
    return { edges: scale.edges.map((edge) => placeOf(edge, shown, more)), counts: [...bins], ...sides };
  }
}

/** The scale for the bins of one pair of limits. */
export const scaleOf = (pair: LimitPair, plausible?: readonly [Rational, Rational]): SpreadScale =>
  scaleFor([pair], plausible === undefined ? {} : { plausible });

/** A number in the unit that is shown, with so many digits more than a value has. */
export const placeOf = (value: Rational, shown: Shown, more = 0): ReadingsPlace => ({
  number: inUnit(value, shown).toDecimal(shown.decimals + more),
  text: written(value, shown, more),
});

const inUnit = (value: Rational, { unit }: Shown): Rational => valueIn({ kind: unit.kind, value }, unit);

const written = (value: Rational, { unit, decimals }: Shown, more: number): string =>
  writeAmount({ kind: unit.kind, value }, unit, decimals + more);

/** A deviation of temperatures is a difference of temperatures, in kelvin. */
function writeDeviation(variance: Rational, { unit, decimals }: Shown): string {
  const kind = spanKind(unit.kind);
  const shown = kind === unit.kind ? unit : baseUnit(kind);
  const value = rootOf(variance, ROOT_DIGITS, 'nearest');
  return writeAmount({ kind, value }, shown, decimals + MORE_DIGITS);
}

/** Of the edges of bins as many digits are shown as tell them apart. */
const MOST_MORE = 3;
function decimalsOfBins(width: Rational, shown: Shown): number {
  const inShown = width.over(shown.unit.factor);
  let more = 0;
  while (more < MOST_MORE && !Rational.parse(inShown.toDecimal(shown.decimals + more))?.equals(inShown))
    more += 1;
  return more;
}

function isNear(value: Rational, pair: LimitPair | undefined): boolean {
  if (pair?.low === undefined || pair.high === undefined) return false;
  const [above, below] = [value.minus(pair.low), pair.high.minus(value)];
  if (above.sign < 0 || below.sign < 0) return false;
  const enough = pair.high.minus(pair.low).times(NEAR);
  return above.compare(enough) < 0 || below.compare(enough) < 0;
}
