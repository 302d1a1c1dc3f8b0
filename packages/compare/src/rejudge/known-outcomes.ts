import type { Measure } from './judge.ts';
import type { Becomes } from './outcome.ts';

/** So many are kept; a workshop has some thousands. */
const MOST_KEPT = 20_000;

/** A way of objects, one after the other, and what a verdict becomes at its end. */
class Known {
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
  #known = new Known();
  #count = 0;

  /** What a measure becomes with these objects, which decide it wholly; made where it is not known. */
  of(measure: Measure, by: readonly unknown[], make: () => Becomes | undefined): Becomes | undefined {
    let known = this.#known.next(measure);
    for (const one of by) known = known.next(one);
    if (known.becomes === undefined) {
      known.becomes = make();
      this.#count += 1;
      if (this.#count > MOST_KEPT) {
        this.#known = new Known();
        this.#count = 0;
      }
    }
    return known.becomes;
  }
}
