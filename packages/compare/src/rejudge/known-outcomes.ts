import type { Measure } from './judge.ts';
import type { Becomes } from './outcome.ts';

/** So many are kept; a workshop has some thousands. */
const MOST_KEPT = 20_000;

/** A way of objects, one after the other, and what a verdict becomes at its end. */
export class Known {
  becomes: Becomes | undefined;
  readonly #next = new Map<unknown, Known>();

  next(by: unknown): Known {
    const known = this.#next.get(by);
    if (known !== undefined) return known;
    const made = new Known();
    this.#next.set(by, made);
    return made;
  }
}

/**
 * What verdicts became, by what they rest on. A reader of many jobs makes one object of facts that say the same, so that a
 * verdict on the same readings is found by them and not given again.
 */
export class KnownOutcomes {
  #known = new WeakMap<Measure, Known>();
  #count = 0;

  /** Where what a measure becomes is kept: what it rested on has to be followed from there, as `next`. */
  of(measure: Measure): Known {
    const known = this.#known.get(measure);
    if (known !== undefined) return known;
    const made = new Known();
    this.#known.set(measure, made);
    return made;
  }

  /** Keeps what was made; when there is too much of it, nothing else. */
  keep(known: Known, becomes: Becomes | undefined): void {
    known.becomes = becomes;
    this.#count += 1;
    if (this.#count <= MOST_KEPT) return;
    this.#known = new WeakMap();
    this.#count = 0;
  }
}
