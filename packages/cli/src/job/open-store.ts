import { existsSync } from 'node:fs';
import { folderStore, isJobId, type JobReading, type JobStore, storeFault } from '@ferrule/records';
import { callFault, type Faulty } from '../pack/open-pack.ts';
import { complain } from '../terminal/output.ts';

/** The store in a folder that is there. */
export function openStore(folder: string): JobStore | Faulty {
  const fault = storeFault(folder);
  if (fault !== undefined) return callFault(fault);
  return existsSync(folder)
    ? folderStore(folder)
    : callFault(`there is no folder ${folder}. Name one that jobs are kept in.`);
}

/** Why a store has no job of this name; undefined when it has one. */
export function noSuchJob(folder: string, store: JobStore, job: string): Faulty | undefined {
  return isJobId(job) && store.stamp(job) !== undefined
    ? undefined
    : callFault(`there is no job ${job} in ${folder}.`);
}

/** A job of the store in a folder, read; what is wrong has been said. */
export function openKept(
  folder: string,
  job: string,
): (Extract<JobReading, { fault?: undefined }> & { readonly store: JobStore }) | Faulty {
  const store = openStore(folder);
  if ('exitCode' in store) return store;
  const none = noSuchJob(folder, store, job);
  if (none !== undefined) return none;
  const read = store.read(job);
  if (read.fault === undefined) return { ...read, store };
  complain(`ferrule: ${job}: ${read.fault.message}`);
  return { exitCode: 1 };
}
