import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import type { Limits } from '../limits.ts';
import { type Problem, problem } from '../problem.ts';
import { Recent } from '../recent.ts';
import { type Asked, Examination, keyOf } from './examine.ts';

/** How far an examination has come. */
export interface Working {
  /** What is being done, in words. */
  readonly doing: string;
  readonly done: number;
  /** How many parts it has; 0 while that is not known. */
  readonly of: number;
}

/** What a thread says of what it was asked for last. */
export type FromThread =
  | { readonly says: 'working'; readonly working: Working }
  /** No document: the pack is too faulty for its trials to be run. */
  | { readonly says: 'done'; readonly document?: string }
  | { readonly says: 'failed'; readonly why: string | undefined };

/** What has come of it: a document as JSON, or why there is none. */
export type Examined = { readonly document: string } | { readonly problem: Problem };

/** Under this key, with these files, one examination is made and no second. */
interface Examining {
  readonly asked: Asked;
  readonly stamp: string;
  working: Working;
  readonly over: Promise<Examined>;
  readonly settle: (examined: Examined) => void;
  readonly fail: (error: Error) => void;
}

/** Documents that are kept, in characters of all together. */
const MOST_KEPT = 64_000_000;
/** How long a thread waits for more to do before it is let go, in milliseconds. */
const MOST_IDLE = 300_000;

/**
 * Has packs checked and their trials run on a thread of their own, one after the other, so that jobs are answered meanwhile. What
 * has come of it is kept for as long as the files are as they were.
 */
export class Examiner {
  readonly #kept = new Recent<{ readonly stamp: string; readonly examined: Examined }>(MOST_KEPT);
  readonly #asked = new Map<string, Examining>();
  readonly #waiting: Examining[] = [];
  #running: Examining | undefined;
  #thread: Worker | undefined;
  #here: Examination | undefined;
  #clock: NodeJS.Timeout | undefined;
  /** When what is running began, in milliseconds of `performance.now`. */
  #began = 0;
  readonly #limits: Limits;

  constructor(limits: Limits) {
    this.#limits = limits;
  }

  /**
   * What comes of it, or how far it has come after this many milliseconds. `stamp` says what the files are like: under
   * another one it is made anew.
   */
  async ask(asked: Asked, stamp: string, patience: number): Promise<Examined | Working> {
    const key = `${asked.what} ${keyOf(asked)}`;
    const kept = this.#kept.get(key);
    if (kept?.stamp === stamp) return kept.examined;
    const before = this.#asked.get(key);
    const examining = before?.stamp === stamp ? before : this.#begin(key, asked, stamp);
    let timer: NodeJS.Timeout | undefined;
    const tired = new Promise<undefined>((resolve) => {
      timer = setTimeout(resolve, patience, undefined);
    });
    const examined = await Promise.race([examining.over, tired]);
    clearTimeout(timer);
    return examined ?? examining.working;
  }

  /** Lets the thread go, with whatever it was doing. */
  async stop(): Promise<void> {
    clearTimeout(this.#clock);
    for (const one of this.#waiting.splice(0)) one.settle(stopping);
    this.#running?.settle(stopping);
    await this.#thread?.terminate();
    this.#thread = undefined;
  }

  #begin(key: string, asked: Asked, stamp: string): Examining {
    const { promise: over, resolve: settle, reject: fail } = withResolvers<Examined>();
    const examining: Examining = {
      ...{ asked, stamp, over, settle, fail },
      working: { doing: 'waiting until another pack is looked at', done: 0, of: 0 },
    };
    this.#asked.set(key, examining);
    const forget = (): void => {
      if (this.#asked.get(key) === examining) this.#asked.delete(key);
    };
    over.then((examined) => {
      forget();
      if ('document' in examined) this.#kept.set(key, { stamp, examined }, examined.document.length);
    }, forget);
    this.#waiting.push(examining);
    this.#next();
    return examining;
  }

  #next(): void {
    if (this.#running !== undefined) return;
    clearTimeout(this.#clock);
    const next = this.#waiting.shift();
    if (next === undefined) {
      this.#clock = setTimeout(() => this.#letGo(), MOST_IDLE);
      this.#clock.unref();
      return;
    }
    this.#running = next;
    next.working = { doing: 'reading its files', done: 0, of: 0 };
    const { examinationTime } = this.#limits;
    this.#began = performance.now();
    this.#clock = setTimeout(() => this.#gaveUp(tooLong), examinationTime);
    this.#clock.unref();
    const thread = this.#threadReady();
    if (thread === undefined) this.#runHere(next);
    else thread.postMessage(next.asked);
  }

  #runHere(examining: Examining): void {
    const heard = (said: FromThread): void => {
      if (this.#running === examining) this.#heard(said);
    };
    this.#here ??= new Examination();
    this.#here
      .run(examining.asked, (doing, done, of) => heard({ says: 'working', working: { doing, done, of } }))
      .then(
        (document) => heard({ says: 'done', ...(document === undefined ? {} : { document }) }),
        (error: unknown) => heard({ says: 'failed', why: String(error) }),
      );
  }

  #heard(said: FromThread): void {
    const running = this.#running;
    if (running === undefined) return;
    // Where it holds up the clock itself, the clock is asked when something is heard.
    if (performance.now() - this.#began > this.#limits.examinationTime) {
      this.#gaveUp(tooLong);
      return;
    }
    if (said.says === 'working') {
      running.working = said.working;
      return;
    }
    if (said.says === 'failed') running.fail(new Error(said.why));
    else running.settle(said.document === undefined ? faulty(running.asked) : { document: said.document });
    this.#running = undefined;
    this.#next();
  }

  /** It ran out of memory or of time: the next one begins on another thread. */
  #gaveUp(why: string): void {
    const running = this.#running;
    this.#letGo();
    this.#running = undefined;
    const { pack = '', revision = '' } = running?.asked ?? {};
    running?.settle({
      problem: problem('examination-gave-up', `${pack} ${revision} could not be gone through here. ${why}`, {
        operands: { pack, revision },
      }),
    });
    this.#next();
  }

  #letGo(): void {
    const thread = this.#thread;
    this.#thread = undefined;
    thread?.removeAllListeners();
    void thread?.terminate();
  }

  #threadReady(): Worker | undefined {
    const file = fileURLToPath(new URL('./examine-worker.js', import.meta.url));
    // Sources that run as they are have no thread beside them.
    if (this.#thread !== undefined || !existsSync(file)) return this.#thread;
    const thread = new Worker(file, {
      workerData: { examines: true },
      resourceLimits: { maxOldGenerationSizeMb: this.#limits.examinationMemory },
    });
    thread.on('message', (said: FromThread) => this.#heard(said));
    thread.on('error', (error) => this.#gaveUp(error.message));
    thread.unref();
    this.#thread = thread;
    return thread;
  }
}

const tooLong = 'It took too long.';

const stopping: Examined = { problem: problem('stopping', 'The server is stopping.') };

const faulty = ({ pack, revision, overlay }: Asked): Examined => ({
  problem: problem(
    'faulty-pack',
    `${pack} ${revision}${overlay === undefined ? '' : ` with ${overlay.overlay} ${overlay.revision}`} has faults: its trials cannot be run.`,
    {
      operands: {
        ...{ pack, revision },
        ...(overlay === undefined ? {} : { overlay: overlay.overlay, overlayRevision: overlay.revision }),
      },
    },
  ),
});

/** A promise with what settles it. `Promise.withResolvers` is not there in Node 20. */
function withResolvers<T>() {
  let resolve: (value: T) => void = () => undefined;
  let reject: (error: Error) => void = () => undefined;
  const promise = new Promise<T>((yes, no) => {
    resolve = yes;
    reject = no;
  });
  return { promise, resolve, reject };
}
