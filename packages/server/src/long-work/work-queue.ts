import { type Problem, problem } from '../problem.ts';
import type { LongAnswer, LongWork, WorkName } from './do-work.ts';
import { beginWork } from './long-worker.ts';

/**
 * Long work that somebody waits for: one piece at a time, each on a thread of its own. Who asks for what is under way or waiting
 * already waits for that.
 */
export class WorkQueue {
  readonly #asked = new Map<string, Promise<unknown>>();
  readonly #most: number;
  #last: Promise<unknown> = Promise.resolve();
  #stop: () => Promise<void> = async () => undefined;
  #isClosed = false;

  /** `most` pieces may be under way or wait. */
  constructor(most: number) {
    this.#most = most;
  }

  /** What the work comes to. The same work has the same key. */
  run<Name extends WorkName>(
    name: Name,
    key: string,
    work: LongWork[Name],
  ): Promise<LongAnswer[Name]> | Problem {
    const known = this.#asked.get(`${name} ${key}`);
    // What is kept under the name of a kind of work is the answer to it.
    if (known !== undefined) return known as Promise<LongAnswer[Name]>;
    if (this.#asked.size >= this.#most)
      return problem('too-much-waiting', `${this.#asked.size} pieces of long work are under way or wait.`);
    const answer = this.#last.then(() => this.#begin(name, work));
    this.#asked.set(`${name} ${key}`, answer);
    this.#last = answer.catch(() => undefined).finally(() => this.#asked.delete(`${name} ${key}`));
    return answer;
  }

  /** Ends what is under way: whoever waits is answered that the server is stopping. */
  async close(): Promise<void> {
    this.#isClosed = true;
    await this.#stop();
  }

  async #begin<Name extends WorkName>(name: Name, work: LongWork[Name]): Promise<LongAnswer[Name]> {
    if (this.#isClosed) throw problem('stopping', 'The server is stopping.');
    const underWay = beginWork(name, work, () => undefined);
    this.#stop = underWay.stop;
    return underWay.answer;
  }
}
