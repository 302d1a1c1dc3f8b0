import { existsSync } from 'node:fs';
import { folderStore, isJobId, type JobStore, storeFault } from '@ferrule/records';
import { callFault, type Faulty } from '../pack/open-pack.ts';

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
  return isJobId(job) && store.size(job) !== undefined
    ? undefined
    : callFault(`there is no job ${job} in ${folder}.`);
}
