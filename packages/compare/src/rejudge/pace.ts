/** By so many of the last moments the rate is measured: the first jobs are slow, since everything is made for them. */
const MOMENTS = 6;
const EVERY_MILLISECONDS = 2000;

/** How fast it goes, and how long the rest takes if it goes on like that. */
export interface Rate {
  readonly jobsPerSecond: number;
  /** Undefined where nothing was done of late. */
  readonly remainingSeconds?: number;
}

/** Measures how fast jobs are judged, over the last seconds. */
export class Pace {
  readonly #moments: { readonly at: number; readonly done: number }[] = [];

  /** Takes in how many are done at a time in milliseconds; the rate, or undefined where too little has passed since the last. */
  at(at: number, { total, done }: { readonly total: number; readonly done: number }): Rate | undefined {
    const last = this.#moments.at(-1);
    if (last !== undefined && at - last.at < EVERY_MILLISECONDS) return undefined;
    this.#moments.push({ at, done });
    if (this.#moments.length > MOMENTS) this.#moments.shift();
    const [first] = this.#moments;
    if (first === undefined || first.at === at) return undefined;
    const jobsPerSecond = ((done - first.done) * 1000) / (at - first.at);
    return jobsPerSecond === 0
      ? { jobsPerSecond }
      : { jobsPerSecond, remainingSeconds: (total - done) / jobsPerSecond };
  }
}
