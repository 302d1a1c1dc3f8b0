/** What was used last, up to a bound on the sum of its sizes; what was not used for longest goes first. */
export class Recent<T> {
  readonly #held = new Map<string, { readonly value: T; readonly size: number }>();
  readonly #most: number;
  #sum = 0;

  constructor(most: number) {
    this.#most = most;
  }

  get(key: string): T | undefined {
    const found = this.#held.get(key);
    if (found === undefined) return undefined;
    this.#held.delete(key);
    this.#held.set(key, found);
    return found.value;
  }

  /** Keeps a value of this size; one that is larger than the bound is kept by itself until the next comes. */
  set(key: string, value: T, size: number): void {
    this.delete(key);
    this.#held.set(key, { value, size });
    this.#sum += size;
    for (const [oldest] of this.#held) {
      if (this.#sum <= this.#most || oldest === key) return;
      this.delete(oldest);
    }
  }

  delete(key: string): void {
    this.#sum -= this.#held.get(key)?.size ?? 0;
    this.#held.delete(key);
  }
}
