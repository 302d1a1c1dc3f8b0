import { type Pack, type Plan, resolve } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import type { JobHeader, JobStore } from '@ferrule/records';
import { readBundle } from '@ferrule/source';
import type { Shelf } from '../packs/shelf.ts';
import { type Problem, problem } from '../problem.ts';
import { Recent } from '../recent.ts';

/** What a job runs on. */
export interface JobPack {
  readonly pack: Pack;
  readonly plan: Plan;
}

/** How many plans are kept ready. */
const MOST_PLANS = 12;

/**
 * The plans of jobs, made from the packs that the store has kept with them. A pack that was begun before packs were kept there
 * is looked for on the shelf, by its digest.
 */
export class Plans {
  readonly #store: JobStore;
  readonly #shelf: Shelf;
  readonly #ready = new Recent<JobPack>(MOST_PLANS);

  constructor(store: JobStore, shelf: Shelf) {
    this.#store = store;
    this.#shelf = shelf;
  }

  async of(header: JobHeader): Promise<JobPack | Problem> {
    const { pack: pinned, procedure, variant } = header;
    const key = `${pinned.digest} ${procedure} ${variant}`;
    const ready = this.#ready.get(key);
    if (ready !== undefined) return ready;
    const document = this.#stored(pinned.digest) ?? (await this.#shelf.documentOf(header));
    const operands = { pack: pinned.id, revision: pinned.revision, digest: pinned.digest };
    if (document === undefined) {
      return problem(
        'pack-not-at-hand',
        this.#store.hasOtherBundle(pinned.digest)
          ? `What the store keeps as ${pinned.id} ${pinned.revision} was altered, and the shelf does not have it as it was when the job began.`
          : `Neither the store nor the shelf has ${pinned.id} ${pinned.revision} as it was when the job began.`,
        { operands },
      );
    }
    const { pack } = validate(document);
    const { plan } = pack === undefined ? {} : resolve(pack, { procedure, variant });
    if (pack === undefined || plan === undefined) {
      return problem(
        'pack-not-at-hand',
        `${pinned.id} ${pinned.revision} is there as it was when the job began, and this version of Ferrule does not read it.`,
        { operands },
      );
    }
    const made = { pack, plan };
    this.#ready.set(key, made, 1);
    return made;
  }

  #stored(digest: string): unknown {
    const text = this.#store.bundle(digest);
    return text === undefined ? undefined : readBundle(text).document;
  }
}
