import type { Plan } from '@ferrule/engine';

/**
 * How long a command of a script takes. Where time is judged it is one second, so that a script can say itself how much of
 * it passes.
 */
export const secondsAMove = (plan: Plan): number => (plan.elapsed.length > 0 ? 1 : 40);

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

  /** Moves to a time, in milliseconds since the start of 1970; false where that is over. */
  moveTo(time: number): boolean {
    if (time < this.#now) return false;
    this.#now = time;
    return true;
  }

  /** The time after some seconds. */
  in(seconds: number): string {
    return new Date(this.#now + seconds * 1000).toISOString();
  }

  pass(seconds: number): void {
    this.#now += seconds * 1000;
  }
}
