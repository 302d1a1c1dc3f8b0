import { setTimeout } from 'node:timers/promises';
import { gaveUp } from '../long-work/gave-up.ts';
import type { UnderWay } from '../long-work/lane.ts';
import type { WorkQueue } from '../long-work/work-queue.ts';
import type { Working } from '../long-work/working.ts';
import { isProblem, type Problem, problem } from '../problem.ts';
import { Recent } from '../recent.ts';
import { type Asked, keyOf } from './examine.ts';

/** Documents that are kept, in characters of all together. */
const MOST_KEPT = 64_000_000;

/** What has come of it: a document as JSON, how far it has come, or why there is none. */
export type Examined = { readonly document: string } | { readonly working: Working } | Problem;

/** What packs and their trials were found to be like, kept for as long as the files are as they were. */
export class Examinations {
  readonly #kept = new Recent<{ readonly stamp: string; readonly document: string }>(MOST_KEPT);
  readonly #queue: WorkQueue;

  constructor(queue: WorkQueue) {
    this.#queue = queue;
  }

  /**
   * What comes of it, or how far it has come after this many milliseconds. `stamp` says what the files are like: under
   * another one it is made anew.
   */
  async ask(what: 'check' | 'trials', asked: Asked, stamp: string, patience: number): Promise<Examined> {
    const key = `${what} ${keyOf(asked)}`;
    const kept = this.#kept.get(key);
    if (kept?.stamp === stamp) return kept;
    const work: UnderWay<string | undefined> | Problem = this.#queue.ask(
      what,
      `${keyOf(asked)}\n${stamp}`,
      asked,
    );
    if (isProblem(work)) return work;
    const document = work.answer.then((found) => {
      if (found === undefined) return faulty(asked);
      this.#kept.set(key, { stamp, document: found }, found.length);
      return { document: found };
    }, gaveUp(asked));
    const tired = setTimeout(patience, work, { ref: false }).then((late) => ({ working: late.working() }));
    return Promise.race([document, tired]);
  }
}

function faulty({ pack, revision, overlay: laid }: Asked): Problem {
  const name = `${pack} ${revision}${laid === undefined ? '' : ` with ${laid.overlay} ${laid.revision}`}`;
  return problem('faulty-pack', `${name} has faults: its trials cannot be run.`, {
    operands: {
      ...{ pack, revision },
      ...(laid === undefined ? {} : { overlay: laid.overlay, overlayRevision: laid.revision }),
    },
  });
}
