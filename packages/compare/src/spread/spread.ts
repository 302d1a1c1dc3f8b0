import { Rational } from '@ferrule/engine';
import type { LimitPair, SpreadScale } from './spread-scale.ts';

/** What many values come to, in the base unit of their kind. */
export interface SpreadSummary {
  readonly n: number;
  readonly mean: Rational;
  readonly lowest: Rational;
  readonly highest: Rational;
  /** s², over n − 1 (JCGM 100:2008, 4.2.2); undefined for a single value. */
  readonly variance?: Rational;
}

/** How many values lie below, inside and above one pair of limits; a value that equals a limit lies inside. */
export interface SpreadCounts {
  readonly below: number;
  readonly inside: number;
  readonly above: number;
}

/** The counts as JSON, so that a part can be kept or handed to another process: sums are whole numbers of the grid, as text. */
export interface SpreadParts {
  readonly n: number;
  readonly sum: string;
  readonly squares: string;
  readonly lowest?: string;
  readonly highest?: string;
  readonly limits: readonly SpreadCounts[];
  readonly bins: readonly number[];
}

/** Decimals in base units to which a value is summed: a thousandth of a picometre. */
const PLACES = 15;
const GRID = 10n ** BigInt(PLACES);

/**
 * Values taken in one after the other, and none of them kept. Sums are those of whole numbers, so nothing is lost to rounding
 * and it makes no difference how the values are split over parts and in which order these are put together. A value
 * with more than fifteen decimals in its base unit is rounded to them for the sums, and for nothing else: its place by the
 * limits, the lowest and the highest are exact.
 */
export class Spread {
  readonly scale: SpreadScale;
  readonly #limits: { below: number; inside: number; above: number }[];
  readonly #bins: number[];
  #n = 0;
  #sum = 0n;
  #squares = 0n;
  #lowest: Rational | undefined;
  #highest: Rational | undefined;

  constructor(scale: SpreadScale) {
    this.scale = scale;
    this.#limits = scale.limits.map(() => ({ below: 0, inside: 0, above: 0 }));
    this.#bins = Array.from({ length: scale.edges.length === 0 ? 0 : scale.edges.length + 1 }, () => 0);
  }

  /** Takes in a value, in the base unit of its kind, as often as it came up. */
  add(value: Rational, times = 1): void {
    const onGrid = BigInt(value.toDecimal(PLACES).replace('.', ''));
    this.#n += times;
    this.#sum += BigInt(times) * onGrid;
    this.#squares += BigInt(times) * onGrid * onGrid;
    if (this.#lowest === undefined || value.compare(this.#lowest) < 0) this.#lowest = value;
    if (this.#highest === undefined || value.compare(this.#highest) > 0) this.#highest = value;
    for (const [place, limits] of this.scale.limits.entries()) {
      const counts = this.#limits[place];
      if (counts !== undefined) counts[sideOf(value, limits)] += times;
    }
    if (this.#bins.length > 0) {
      const bin = this.#binOf(value);
      this.#bins[bin] = (this.#bins[bin] ?? 0) + times;
    }
  }

  /** Takes in what another one has counted on the same scale. Throws a RangeError where the scale is another. */
  merge(parts: SpreadParts): void {
    if (parts.bins.length !== this.#bins.length || parts.limits.length !== this.#limits.length)
      throw new RangeError('these were counted on another scale');
    this.#n += parts.n;
    this.#sum += BigInt(parts.sum);
    this.#squares += BigInt(parts.squares);
    const lowest = Rational.parse(parts.lowest ?? '');
    const highest = Rational.parse(parts.highest ?? '');
    if (lowest !== undefined && (this.#lowest === undefined || lowest.compare(this.#lowest) < 0))
      this.#lowest = lowest;
    if (highest !== undefined && (this.#highest === undefined || highest.compare(this.#highest) > 0))
      this.#highest = highest;
    for (const [place, counts] of this.#limits.entries()) {
      counts.below += parts.limits[place]?.below ?? 0;
      counts.inside += parts.limits[place]?.inside ?? 0;
      counts.above += parts.limits[place]?.above ?? 0;
    }
    for (const [place, count] of parts.bins.entries()) this.#bins[place] = (this.#bins[place] ?? 0) + count;
  }

  toJSON(): SpreadParts {
    return {
      n: this.#n,
      sum: String(this.#sum),
      squares: String(this.#squares),
      ...(this.#lowest === undefined ? {} : { lowest: this.#lowest.toFraction() }),
      ...(this.#highest === undefined ? {} : { highest: this.#highest.toFraction() }),
      limits: this.#limits.map((one) => ({ ...one })),
      bins: [...this.#bins],
    };
  }

  /** Undefined while there is no value. */
  get summary(): SpreadSummary | undefined {
    if (this.#lowest === undefined || this.#highest === undefined) return undefined;
    const n = BigInt(this.#n);
    const range = { n: this.#n, lowest: this.#lowest, highest: this.#highest };
    const mean = Rational.of(this.#sum, n * GRID);
    if (this.#n === 1) return { ...range, mean };
    const squares = n * this.#squares - this.#sum * this.#sum;
    return { ...range, mean, variance: Rational.of(squares, n * (n - 1n) * GRID * GRID) };
  }

  /** For each pair of limits of the scale. */
  get counts(): readonly SpreadCounts[] {
    return this.#limits;
  }

  /** How many lie before the first edge, between each two, and behind the last. */
  get bins(): readonly number[] {
    return this.#bins;
  }

  /** A value on an edge belongs to the bin behind it; on the edge of an upper limit to the one before, which lies inside. */
  #binOf(value: Rational): number {
    const { edges, limits } = this.scale;
    let from = 0;
    let to = edges.length;
    while (from < to) {
      const middle = (from + to) >> 1;
      const edge = edges[middle];
      if (edge !== undefined && edge.compare(value) <= 0) from = middle + 1;
      else to = middle;
    }
    const isUpper =
      edges[from - 1]?.equals(value) === true && limits.some(({ high }) => high?.equals(value) === true);
    return isUpper ? from - 1 : from;
  }
}

function sideOf(value: Rational, { low, high }: LimitPair): keyof SpreadCounts {
  if (low !== undefined && value.compare(low) < 0) return 'below';
  return high !== undefined && value.compare(high) > 0 ? 'above' : 'inside';
}
