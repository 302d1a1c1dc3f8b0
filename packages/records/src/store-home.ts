import { accessSync, constants, statSync } from 'node:fs';
import { codeOf } from './code-of.ts';
import { makeStore, namesIn } from './store-folder.ts';

/**
 * Where a store is, and whether it still is there. A folder that was taken away must not look like a store without jobs, nor must
 * an empty one that stands in its place, such as the folder on which a disk was mounted.
 */
export class StoreHome {
  readonly #folder: string;
  /** Which folder it was when it was last seen; undefined as long as there has been none. */
  #place: string | undefined;
  #hasHeldJobs = false;

  constructor(folder: string) {
    this.#folder = folder;
    this.gone();
  }

  /** Why nothing of the store can be seen now; undefined when it can, and where there has been none yet. */
  gone(): string | undefined {
    const folder = this.#folder;
    let place: string;
    try {
      const found = statSync(folder, { bigint: true, throwIfNoEntry: false });
      if (found?.isDirectory() !== true)
        return this.#place === undefined ? undefined : `The folder ${folder} of the store is gone. ${BACK}`;
      accessSync(folder, constants.R_OK | constants.X_OK);
      place = `${found.dev} ${found.ino}`;
    } catch (error) {
      return `The folder ${folder} of the store cannot be read (${codeOf(error)}). ${BACK}`;
    }
    const isOther = this.#place !== undefined && this.#place !== place;
    if (isOther || !this.#hasHeldJobs) {
      const holdsJobs = namesIn(folder).length > 0;
      if (isOther && this.#hasHeldJobs && !holdsJobs)
        return `Another folder without jobs stands where the store ${folder} was. ${BACK}`;
      this.#hasHeldJobs ||= holdsJobs;
    }
    this.#place = place;
    return undefined;
  }

  /** As `gone`, for whoever writes: a folder that has never been there is made first, and one that was taken away is not. */
  unwritable(): string | undefined {
    const fault = this.gone() ?? (this.#place === undefined ? makeStore(this.#folder) : undefined);
    return fault ?? this.gone();
  }
}

const BACK = 'Put it back where it was: nothing is recorded until then.';
