/**
 * What was made of texts, so that it is made once for each while they keep coming. Of what is not met again no more is held
 * than was made since the bound was reached twice.
 */
export class RecentTexts<T> {
  readonly #most: number;
  #length = 0;
  #turns = 0;
  #young = new Map<string, T>();
  #old: ReadonlyMap<string, T> = new Map();

  /** `most` is the bound: how long all texts of one of the two halves are together. */
  constructor(most: number) {
    this.#most = most;
  }

  /** How often the older half was let go. */
  get turns(): number {
    return this.#turns;
  }

  get(text: string): T | undefined {
    const young = this.#young.get(text);
    if (young !== undefined) return young;
    const old = this.#old.get(text);
    if (old !== undefined) this.set(text, old);
    return old;
  }

  set(text: string, made: T): void {
    if (this.#length + text.length > this.#most) {
      this.#old = this.#young;
      this.#young = new Map();
      this.#length = 0;
      this.#turns += 1;
    }
    this.#young.set(text, made);
    this.#length += text.length;
  }
}
