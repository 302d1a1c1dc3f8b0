import type { Fact } from './fact.ts';

/**
 * A list that grows at its end and never changes for who holds it. Lists that follow one another share one array, of
 * which each knows its own part, so that adding costs no copy; only one that something else already follows is copied.
 */
export class FactList {
  readonly #shared: Fact[];
  readonly #length: number;
  #own: readonly Fact[] | undefined;

  private constructor(shared: Fact[], length: number) {
    this.#shared = shared;
    this.#length = length;
  }

  static of(first: Fact): FactList {
    return new FactList([first], 1);
  }

  with(fact: Fact): FactList {
    const isLast = this.#shared.length === this.#length;
    const shared = isLast ? this.#shared : this.#shared.slice(0, this.#length);
    shared.push(fact);
    return new FactList(shared, shared.length);
  }

  /** The facts as a list of their own, made when it is first asked for. */
  get facts(): readonly Fact[] {
    this.#own ??= this.#shared.slice(0, this.#length);
    return this.#own;
  }

  /** The fact with a sequence number, if it is one of these. */
  at(seq: number): Fact | undefined {
    return seq <= this.#length ? this.#shared[seq - 1] : undefined;
  }
}
