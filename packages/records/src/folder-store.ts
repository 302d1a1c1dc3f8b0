import { readFileSync, statSync } from 'node:fs';
import { readEnvelope } from '@ferrule/signing';
import { bundlePath, getBundle, hasOtherBundle, putBundle } from './bundles.ts';
import { exportJob, importJob } from './job-export.ts';
import { appendToFile, createFile, type Tail, tailOf } from './job-file.ts';
import { JobIndex } from './job-index.ts';
import type { JobStore } from './job-store.ts';
import { getPhotograph, photographPath, putPhotograph } from './photographs.ts';
import { type JobReading, readNamedJob } from './read-job.ts';
import { signatureText, signJob } from './sign-job.ts';
import { stampOf } from './stamp.ts';
import { jobPath, namesIn } from './store-folder.ts';
import { StoreHome } from './store-home.ts';
import { type RecordParts, verifyRecord } from './verify-record.ts';

/** Of how many jobs the end is kept in mind, so that adding to them reads nothing. */
const MOST_TAILS = 1000;

/**
 * The store that is a folder: a file of facts for each job, packs and pictures by their digests. See docs/records.md. The folder
 * is made with the first job where there has been none; one that was taken away since is not made again.
 */
export function folderStore(folder: string): JobStore {
  const tails = new Map<string, Tail>();
  const remember = (job: string, tail: Tail | undefined): void => {
    tails.delete(job);
    if (tail === undefined) return;
    tails.set(job, tail);
    const [oldest] = tails.keys();
    if (tails.size > MOST_TAILS && oldest !== undefined) tails.delete(oldest);
  };
  const read = (job: string): JobReading => readNamedJob(jobPath(folder, job));
  const index = new JobIndex(folder, read);
  const home = new StoreHome(folder);
  const unseen = (): { readonly refused: 'not-written'; readonly message: string } | undefined => {
    const message = home.unwritable();
    return message === undefined ? undefined : { refused: 'not-written', message };
  };
  return {
    create: (header, bundle, facts, asked) => {
      const path = jobPath(folder, header.job);
      const refused = unseen();
      if (refused !== undefined) return refused;
      const unkept = putBundle(folder, header.pack.digest, bundle);
      if (unkept !== undefined) return { refused: 'not-written', message: unkept };
      const { tail, ...created } = createFile(path, header, facts, asked);
      remember(header.job, tail);
      return created;
    },
    read: (job) => {
      // Before it is read: what is changed in between shows as a change the next time.
      const stamp = stampOf(jobPath(folder, job));
      const found = read(job);
      if (found.fault === undefined)
        remember(job, found.torn === undefined ? tailOf(found, stamp) : undefined);
      return found;
    },
    append: (job, facts, expectedSeq, asked) => {
      const { tail, ...appended } = appendToFile(
        jobPath(folder, job),
        tails.get(job),
        facts,
        expectedSeq,
        asked,
      );
      remember(job, tail);
      return appended;
    },
    end: (job) => tails.get(job),
    names: () => namesIn(folder),
    bundle: (digest) => getBundle(folder, digest),
    hasOtherBundle: (digest) => hasOtherBundle(folder, digest),
    list: (query = {}) => index.list(query),
    gone: () => home.gone(),
    stamp: (job) => {
      try {
        return stampOf(jobPath(folder, job));
      } catch (error) {
        if (error instanceof RangeError) throw error;
        return undefined;
      }
    },
    putPhotograph: (bytes) => unseen() ?? putPhotograph(folder, bytes),
    photograph: (digest) => getPhotograph(folder, digest),
    sign: (job, key, by, at) => signJob(folder, read(job), key, by, at),
    signature: (job) => {
      const text = signatureText(folder, job);
      return text === undefined ? undefined : readEnvelope(text);
    },
    verify: (job, options) => verifyRecord(partsIn(folder, job), options),
    exportJob: (job) => exportJob(folder, job),
    importJob: (text, options = {}) => unseen() ?? importJob(folder, text, options),
  };
}

function partsIn(folder: string, job: string): RecordParts {
  const signature = signatureText(folder, job);
  return {
    job,
    record: bytesOf(jobPath(folder, job)) ?? new Uint8Array(),
    ...(signature === undefined ? {} : { signature }),
    bundle: (digest) => bytesOf(bundlePath(folder, digest)),
    photograph: (digest) => bytesOf(photographPath(folder, digest)),
  };
}

/** The content of a file; undefined when there is none. */
function bytesOf(path: string | undefined): Uint8Array | undefined {
  try {
    return path === undefined || !statSync(path).isFile() ? undefined : readFileSync(path);
  } catch {
    return undefined;
  }
}
