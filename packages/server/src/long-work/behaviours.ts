import type { ComparedBehaviour } from '@ferrule/compare/document';
import type { OpenedPack } from '../packs/shelf.ts';
import { isProblem, type Problem } from '../problem.ts';
import { Recent } from '../recent.ts';
import { gaveUp } from './gave-up.ts';
import type { WorkQueue } from './work-queue.ts';

/** How many are kept ready. */
const MOST_READY = 20;

/** What revisions do otherwise than older ones, kept by the digests of both. */
export class Behaviours {
  readonly #ready = new Recent<ComparedBehaviour>(MOST_READY);
  readonly #queue: WorkQueue;

  constructor(queue: WorkQueue) {
    this.#queue = queue;
  }

  async of(before: OpenedPack, after: OpenedPack): Promise<ComparedBehaviour | Problem> {
    const key = `${before.bundle.digest} ${after.bundle.digest}`;
    const ready = this.#ready.get(key);
    if (ready !== undefined) return ready;
    const asked = this.#queue.ask('behaviour', key, { before: before.bundle.text, after: after.bundle.text });
    if (isProblem(asked)) return asked;
    const found = await asked.answer.catch(gaveUp(after.pack));
    // What was cut short may be found whole when there is more time.
    if (!isProblem(found) && !found.cutShort) this.#ready.set(key, found, 1);
    return found;
  }
}
