import { accessSync, constants, readdirSync, statSync } from 'node:fs';
import { basename, join } from 'node:path';
import { fileTrouble } from '@ferrule/signing';
import { makeFolder } from './make-folder.ts';

/** How the name of a job file ends. */
export const ENDING = '.jsonl';
/** How that of its signature ends. */
export const SIGNATURE_ENDING = '.signature.json';

/** Whether a text may be the id of a job: small letters, digits and hyphens, so that it can lead nowhere as a path. */
export const isJobId = (text: string): boolean => /^[a-z0-9][a-z0-9-]{0,79}$/.test(text);

/** The file of a job in a store folder. */
export function jobPath(store: string, job: string): string {
  if (!isJobId(job)) throw new RangeError(`${JSON.stringify(job)} is no id of a job`);
  return join(store, `${job}${ENDING}`);
}

/** The file of a job's signature in a store folder. */
export const signaturePath = (store: string, job: string): string =>
  `${jobPath(store, job).slice(0, -ENDING.length)}${SIGNATURE_ENDING}`;

/** The hexadecimal digits of a digest, which are the name of what is kept by it; undefined when a text is none. */
export const hexOf = (digest: string): string | undefined => /^sha256:([0-9a-f]{64})$/.exec(digest)?.[1];

/** The job that a file belongs to by its name. */
export const jobNamedBy = (path: string): string => basename(path, ENDING);

/** Why a path cannot be a store of jobs, as far as that shows without changing anything; undefined when it can. */
export function storeFault(store: string): string | undefined {
  try {
    const found = statSync(store, { throwIfNoEntry: false });
    return found === undefined || found.isDirectory()
      ? undefined
      : `${store} is no folder. Jobs are kept in a folder, which is made when it is not there.`;
  } catch (error) {
    return cannotKeep(store, error);
  }
}

/** Makes the folder of a store where it is not there, and says why no job can be kept in it; undefined when one can. */
export function makeStore(store: string): string | undefined {
  const fault = storeFault(store);
  if (fault !== undefined) return fault;
  try {
    makeFolder(store);
    accessSync(store, constants.W_OK | constants.X_OK);
    return undefined;
  } catch (error) {
    return cannotKeep(store, error);
  }
}

function cannotKeep(store: string, error: unknown): string {
  const { code, says, fix } = fileTrouble('write', error);
  // The folders around it were made first, wherever one can be.
  const why =
    code === 'ENOENT'
      ? 'No folder can be made there. Name'
      : `${says} ${fix === undefined ? 'Name' : `${fix}, or name`}`;
  return `No job can be kept in ${store} (${code}). ${why} another place.`;
}

/** The ids of the jobs in a store, in order, whether they can be relied on or not; none when the folder cannot be read. */
export const listJobs = (store: string): readonly string[] => [...namesIn(store)].sort();

/** The ids that files of a store are named after, in no order; nothing of the files is looked at. */
export function namesIn(store: string): readonly string[] {
  try {
    return readdirSync(store)
      .filter((name) => name.endsWith(ENDING) && isJobId(jobNamedBy(name)))
      .map(jobNamedBy);
  } catch {
    return [];
  }
}
