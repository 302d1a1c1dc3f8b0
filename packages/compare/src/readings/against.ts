import type { LimitPair } from '../spread/index.ts';
import { Counting, placeOf, type Shown, scaleOf } from './counted.ts';
import type { FoundAt } from './found-in-job.ts';
import type { ReadingsAgainst } from './generated/readings-document.ts';
import type { SoughtIn } from './sought-in.ts';

/** What is counted of one pair of limits: as a whole, by bore and by instrument. */
export class Against {
  readonly #in: SoughtIn;
  readonly #procedure: string;
  readonly #shown: Shown;
  readonly #whole: Counting;
  readonly #byBore = new Map<string, Counting>();
  readonly #byInstrument = new Map<string, Counting>();
  readonly #revisions = new Set<string>();
  readonly #variants = new Set<string>();
  #jobs = 0;

  constructor(sought: SoughtIn, procedure: string, shown: Shown) {
    this.#in = sought;
    this.#procedure = procedure;
    this.#shown = shown;
    this.#whole = new Counting(
      sought.pair,
      sought.pair === undefined ? undefined : scaleOf(sought.pair, sought.plausible),
    );
  }

  /** Takes in what counts in one job; nothing where nothing does. */
  add(found: readonly FoundAt[], revision: string, variant: string): void {
    if (found.length === 0) return;
    this.#jobs += 1;
    this.#revisions.add(revision);
    this.#variants.add(variant);
    for (const one of found) {
      const { place } = one.sought;
      this.#whole.add(one);
      if (place !== undefined) countingOf(this.#byBore, place, this.#in.pair).add(one);
      if (one.instruments.length > 0)
        countingOf(this.#byInstrument, one.instruments.join(', '), this.#in.pair).add(one);
    }
  }

  /** Undefined where nothing was counted. */
  document(): ReadingsAgainst | undefined {
    if (this.#jobs === 0) return undefined;
    const { of, title, limits, pair } = this.#in;
    const shown = this.#shown;
    const bins = this.#whole.bins(shown);
    return {
      ...{ of, title, procedure: this.#procedure, limits },
      ...(pair?.low === undefined ? {} : { low: placeOf(pair.low, shown) }),
      ...(pair?.high === undefined ? {} : { high: placeOf(pair.high, shown) }),
      ...{ revisions: [...this.#revisions].sort(), variants: [...this.#variants].sort(), jobs: this.#jobs },
      counted: this.#whole.counted(shown),
      ...(bins === undefined ? {} : { bins }),
      byBore: sorted(this.#byBore).map(([place, one]) => ({ place, counted: one.counted(shown) })),
      byInstrument: sorted(this.#byInstrument).map(([instrument, one]) => ({
        instrument,
        counted: one.counted(shown),
      })),
    };
  }
}

function countingOf(among: Map<string, Counting>, key: string, pair: LimitPair | undefined): Counting {
  const known = among.get(key) ?? new Counting(pair);
  among.set(key, known);
  return known;
}

/** Bores by their numbers, everything else by its letters. */
const sorted = (among: ReadonlyMap<string, Counting>): readonly (readonly [string, Counting])[] =>
  [...among].sort(([a], [b]) => Number(a) - Number(b) || (a < b ? -1 : 1));
