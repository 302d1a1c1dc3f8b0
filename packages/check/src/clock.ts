import type { Plan } from '@ferrule/engine';

/**
 * How long a command of a script takes. Where time is judged it is one second, so that a script can say itself how much of
 * it passes.
 */
export const secondsAMove = (plan: Plan): number => (plan.elapsed.length > 0 ? 1 : 40);

/** A clock for scripted jobs: it starts at a stated time and moves only when it is told to. */
export class ScriptClock {
  #now: number;
  readonly #zone: Zone;

  /** `start` is an RFC 3339 time, whose offset from UTC is kept. */
  constructor(start: string) {
    this.#now = Date.parse(start);
    this.#zone = zoneOf(start);
  }

  /** The time now, RFC 3339. */
  now(): string {
    return this.in(0);
  }

  /** Moves to a time, in milliseconds since the start of 1970; false where that is over. */
  moveTo(time: number): boolean {
    if (time < this.#now) return false;
    this.#now = time;
    return true;
  }

  /** The time after some seconds. */
  in(seconds: number): string {
    const { minutes, written } = this.#zone;
    const there = new Date(this.#now + seconds * 1000 + minutes * 60_000);
    return there.toISOString().replace('Z', written);
  }

  pass(seconds: number): void {
    this.#now += seconds * 1000;
  }
}

/** An offset from UTC, in minutes and as RFC 3339 writes it. */
interface Zone {
  readonly minutes: number;
  readonly written: string;
}

function zoneOf(time: string): Zone {
  const [written, sign, hours, minutes] = /([+-])(\d\d):(\d\d)$/.exec(time) ?? [];
  if (written === undefined) return { minutes: 0, written: 'Z' };
  const size = Number(hours) * 60 + Number(minutes);
  return { minutes: sign === '-' ? -size : size, written };
}
