/** A clock for scripted jobs: it starts at a stated time and moves only when it is told to. */
export class ScriptClock {
  #now: number;

  /** `start` is an RFC 3339 time. */
  constructor(start: string) {
    this.#now = Date.parse(start);
  }

  /** The time now, RFC 3339, in UTC. */
  now(): string {
    return new Date(this.#now).toISOString();
  }

  pass(seconds: number): void {
    this.#now += seconds * 1000;
  }
}
