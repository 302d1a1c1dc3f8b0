import { readdirSync } from 'node:fs';
import { join } from 'node:path';

const ENDING = '.jsonl';

/** Whether a text may be the id of a job: small letters, digits and hyphens, so that it can lead nowhere as a path. */
export const isJobId = (text: string): boolean => /^[a-z0-9][a-z0-9-]{0,79}$/.test(text);

/** The file of a job in a store folder. */
export function jobPath(store: string, job: string): string {
  if (!isJobId(job)) throw new RangeError(`${JSON.stringify(job)} is no id of a job`);
  return join(store, `${job}${ENDING}`);
}

/** The ids of the jobs in a store, in order; none when the folder cannot be read. */
export function listJobs(store: string): readonly string[] {
  let names: readonly string[];
  try {
    names = readdirSync(store);
  } catch {
    return [];
  }
  return names
    .flatMap((name) => (name.endsWith(ENDING) ? name.slice(0, -ENDING.length) : []))
    .filter(isJobId)
    .sort();
}
