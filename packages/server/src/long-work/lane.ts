import { type Problem, problem } from '../problem.ts';
import type { FromWorker, Handed } from './long-work.ts';
import { startWorker, type Worker } from './worker.ts';
import type { Working } from './working.ts';

/** It took more memory or time than it may here. */
export class GaveUp extends Error {}

/** A piece of work that was asked for. */
export interface UnderWay<Answer> {
  /** Rejects with what the work has thrown, with its code where it has one; with GaveUp; with a problem after a stop. */
  readonly answer: Promise<Answer>;
  /** How far it has come by now. */
  working(): Working;
  /** Ends it, for everybody who waits for it. */
  stop(): Promise<void>;
}

class Piece {
  readonly handed: Handed;
  readonly mostTime: number;
  working: Working = { doing: 'waiting for what was asked for before', done: 0, of: 0 };
  settle: (answer: unknown) => void = () => undefined;
  fail: (why: Error | Problem) => void = () => undefined;
  readonly answer = new Promise<unknown>((settle, fail) => {
    Object.assign(this, { settle, fail });
  });

  constructor(handed: Handed, mostTime: number) {
    this.handed = handed;
    this.mostTime = mostTime;
    // Whoever has stopped it need not wait for the answer.
    this.answer.catch(() => undefined);
  }
}

/** How long a worker waits for more to do before it is let go, in milliseconds. */
const MOST_IDLE = 300_000;

/** Pieces of work that are done one after the other, by a worker that stays for the next one. */
export class Lane {
  readonly #waiting: Piece[] = [];
  readonly #megabytes: number;
  #running: Piece | undefined;
  #worker: Worker | undefined;
  #clock: NodeJS.Timeout | undefined;
  /** When what is running began, in milliseconds of `performance.now`. */
  #began = 0;

  /** `megabytes` may be taken by what is under way. */
  constructor(megabytes: number) {
    this.#megabytes = megabytes;
  }

  /** How many pieces are under way or wait. */
  get size(): number {
    return this.#waiting.length + (this.#running === undefined ? 0 : 1);
  }

  /** Takes in a piece that may take so many milliseconds once it has begun. */
  add(handed: Handed, mostTime: number): UnderWay<unknown> {
    const piece = new Piece(handed, mostTime);
    this.#waiting.push(piece);
    if (this.#running === undefined) this.#next();
    return { answer: piece.answer, working: () => piece.working, stop: () => this.#stop(piece) };
  }

  /** Ends all of it: whoever waits is told that the server is stopping. */
  async close(): Promise<void> {
    for (const one of [...this.#waiting.splice(0), this.#running])
      one?.fail(problem('stopping', 'The server is stopping.'));
    await this.#letGo();
  }

  async #stop(piece: Piece): Promise<void> {
    const at = this.#waiting.indexOf(piece);
    if (at >= 0) this.#waiting.splice(at, 1);
    const why = problem('stopping', 'What was under way was stopped.');
    if (this.#running === piece) await this.#giveUp(why);
    else piece.fail(why);
  }

  #next(): void {
    clearTimeout(this.#clock);
    const piece = this.#waiting.shift();
    this.#running = piece;
    if (piece === undefined) {
      this.#clock = setTimeout(() => void this.#letGo(), MOST_IDLE).unref();
      return;
    }
    piece.working = { doing: 'beginning', done: 0, of: 0 };
    this.#began = performance.now();
    if (Number.isFinite(piece.mostTime))
      this.#clock = setTimeout(() => void this.#giveUp(tooLong()), piece.mostTime).unref();
    this.#worker ??= startWorker(
      this.#megabytes,
      (said) => this.#heard(said),
      (error) => void this.#giveUp('code' in error && error.code === NO_MEMORY ? noMemory() : error),
    );
    this.#worker.hand(piece.handed);
  }

  #heard(said: FromWorker): void {
    const piece = this.#running;
    if (piece === undefined) return;
    // Work in this thread holds up the clock, which is asked when something is heard.
    if (performance.now() - this.#began > piece.mostTime) void this.#giveUp(tooLong());
    else if (said.says === 'working') piece.working = said.working;
    else {
      if (said.says === 'done') piece.settle(said.answer);
      else piece.fail(Object.assign(new Error(said.message), { code: said.code }));
      this.#next();
    }
  }

  /** Ends what is under way; the next piece begins with another worker. */
  async #giveUp(why: Error | Problem): Promise<void> {
    this.#running?.fail(why);
    const ended = this.#letGo();
    this.#next();
    await ended;
  }

  async #letGo(): Promise<void> {
    clearTimeout(this.#clock);
    const worker = this.#worker;
    this.#worker = undefined;
    this.#running = undefined;
    await worker?.end();
  }
}

const NO_MEMORY = 'ERR_WORKER_OUT_OF_MEMORY';
const noMemory = (): GaveUp => new GaveUp('It took too much memory.');
const tooLong = (): GaveUp => new GaveUp('It took too long.');
