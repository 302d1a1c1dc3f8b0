import type { Limits } from '../limits.ts';
import { type Problem, problem } from '../problem.ts';
import { Lane, type UnderWay } from './lane.ts';
import type { Handed, LongAnswer, LongWork, WorkName } from './long-work.ts';

type LaneName = 'packs' | 'questions' | 'rejudgings';

/** In which lane each kind of work is done, and whether it is given up after the longest time. */
const kinds: Readonly<Record<WorkName, { readonly lane: LaneName; readonly isBounded: boolean }>> = {
  check: { lane: 'packs', isBounded: true },
  trials: { lane: 'packs', isBounded: true },
  behaviour: { lane: 'questions', isBounded: true },
  readings: { lane: 'questions', isBounded: false },
  rejudge: { lane: 'rejudgings', isBounded: false },
};

/**
 * Long work, beside the thread that answers requests. Each lane has a worker of its own, so that a pack is checked while jobs are
 * judged again. Who asks for what is under way or waiting already waits for that.
 */
export class WorkQueue {
  readonly #asked = new Map<string, UnderWay<unknown>>();
  readonly #lanes: Readonly<Record<LaneName, Lane>>;
  readonly #limits: Limits;
  #isClosed = false;

  constructor(limits: Limits) {
    const lane = (): Lane => new Lane(limits.longWorkMemory);
    this.#limits = limits;
    this.#lanes = { packs: lane(), questions: lane(), rejudgings: lane() };
  }

  /** Asks for a piece of work. The same work has the same key. */
  ask<Name extends WorkName>(
    name: Name,
    key: string,
    work: LongWork[Name],
  ): UnderWay<LongAnswer[Name]> | Problem {
    if (this.#isClosed) return problem('stopping', 'The server is stopping.');
    const known = this.#asked.get(`${name} ${key}`);
    // What is kept under the name of a kind of work is the answer to it.
    if (known !== undefined) return known as UnderWay<LongAnswer[Name]>;
    const lane = this.#lanes[kinds[name].lane];
    if (lane.size >= this.#limits.longWork)
      return problem('too-much-waiting', `${lane.size} pieces of long work are under way or wait.`);
    const handed: Handed<Name> = { name, work };
    const mostTime = kinds[name].isBounded ? this.#limits.longWorkTime : Infinity;
    const asked = lane.add(handed, mostTime);
    this.#asked.set(`${name} ${key}`, asked);
    const forget = (): void => void this.#asked.delete(`${name} ${key}`);
    asked.answer.then(forget, forget);
    return asked as UnderWay<LongAnswer[Name]>;
  }

  /** Ends what is under way and what waits: whoever waits is told that the server is stopping. */
  async close(): Promise<void> {
    this.#isClosed = true;
    await Promise.all(Object.values(this.#lanes).map((lane) => lane.close()));
  }
}
