import { writeFileSync } from 'node:fs';

/** A clock that a test sets, for processes that it starts. */
export interface MovedClock {
  readonly env: NodeJS.ProcessEnv;
  /** Sets it by so many milliseconds before or behind the right time. */
  set(offset: number): void;
}

/** What a process loads before everything else: `Date` as if the clock of the machine were set otherwise; timers go on as they do. */
const program = `
import { readFileSync } from 'node:fs';
const Real = Date;
const now = () => Real.now() + Number(readFileSync(process.env.MOVED_CLOCK, 'utf8'));
globalThis.Date = class extends Real {
  constructor(...given) {
    if (given.length === 0) super(now());
    else super(...given);
  }
  static now() {
    return now();
  }
};
`;

/** A clock that is right at first; `file` says how it is set. */
export function movedClock(file: string): MovedClock {
  const set = (offset: number): void => writeFileSync(file, String(offset));
  set(0);
  const preload = `--import=data:text/javascript,${encodeURIComponent(program)}`;
  return { set, env: { ...process.env, MOVED_CLOCK: file, NODE_OPTIONS: preload } };
}
