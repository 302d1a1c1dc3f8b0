import type { Fact } from '@ferrule/engine';
import type { Digest, Envelope, PrivateKey } from '@ferrule/signing';
import type { Exported, Imported } from './job-export.ts';
import type { JobHeader } from './job-header.ts';
import type { JobListing, JobQuery } from './job-summary.ts';
import type { JobVerification } from './job-verification.ts';
import type { Photograph, StoredPhotograph } from './photographs.ts';
import type { JobReading } from './read-job.ts';
import type { Signed } from './sign-job.ts';
import type { VerifyOptions } from './verify-record.ts';

export type Created =
  /** On the disk, and confirmed: the sequence number of the last fact. */
  | { readonly created: number; readonly refused?: undefined }
  | { readonly refused: 'job-exists' | 'not-written'; readonly message: string };

export type Appended =
  /** On the disk, and confirmed: the sequence number of the last fact. */
  | { readonly appended: number; readonly setAside?: string; readonly refused?: undefined }
  | { readonly refused: 'stale-sequence' | 'not-written'; readonly message: string };

/** The end of a job. */
export interface JobEnd {
  /** The sequence number of the last fact; 0 when there is none. */
  readonly seq: number;
  /** Digest that the next fact carries. */
  readonly last: Digest;
  /** Bytes of the complete lines. */
  readonly size: number;
  /** That of its file then, as `JobStore.stamp` answers it. */
  readonly stamp: string | undefined;
}

/**
 * Where jobs are kept. Everything that changes something is on the disk when it returns, whole or not at all, and may be
 * called by several processes at once. What the surroundings bring about comes back as data; a RangeError is a defect of the
 * caller, such as a job id that is none.
 */
export interface JobStore {
  /**
   * Begins a job with its first facts. `bundle` is the canonical text of the pack that the header pins by its digest; it is
   * kept once for all jobs that were done with it, so that the job goes on when the folder of the pack is gone. `asked` is
   * the digest of what was asked for, as in `append`.
   */
  create(header: JobHeader, bundle: string, facts: readonly Fact[], asked?: Digest): Created;
  /** The job with all its facts, every digest checked; or why it cannot be relied on. Never changes anything. */
  read(job: string): JobReading;
  /**
   * Adds a batch of facts. `expectedSeq` is the last fact that the caller has seen: when the job has gone on since then,
   * whoever wrote it, the batch is refused. `asked` is the digest of the command that the batch answers; it is kept with the
   * first fact, so that the same command id with another body is noticed after a restart. What was left of a write that was
   * cut off is moved aside first, and `setAside` says so.
   */
  append(job: string, facts: readonly Fact[], expectedSeq: number, asked?: Digest): Appended;
  /**
   * The end of a job as it was when it was last read, begun or added to through this object: what a caller that has just
   * added a batch knows it by. Undefined when nothing is known of it.
   */
  end(job: string): JobEnd | undefined;
  /** The names of all jobs, whether they can be relied on or not; nothing of them is read. */
  names(): readonly string[];
  /**
   * Why nothing of the store can be seen now, such as that its folder was taken away; undefined when it can. Until then every job
   * seems not to be there, and nothing is written.
   */
  gone(): string | undefined;
  /** The text of a pack by its digest; undefined when the store does not have it, or has something else under this name. */
  bundle(digest: string): string | undefined;
  /** Whether something else stands where the pack of a digest was kept, or it cannot be read: then it was altered, and is not missing. */
  hasOtherBundle(digest: string): boolean;
  /** The jobs that a query asks for, in the order of their names, and the files that cannot be relied on. */
  list(query?: JobQuery): JobListing;
  /**
   * What changes whenever the file of a job does, to see cheaply whether somebody has added to it or changed it; undefined when
   * there is none. Two changes within one tick of the clock of the file system leave it the same.
   */
  stamp(job: string): string | undefined;
  /** Keeps a picture under its digest: PNG, JPEG or WebP, of at most 20 MB. */
  putPhotograph(bytes: Uint8Array): StoredPhotograph;
  photograph(digest: string): Photograph | undefined;
  /** Signs a closed job: every fact in its order, its header and its pack. `by` acts, `at` is the time (RFC 3339). */
  sign(job: string, key: PrivateKey, by: string, at: string): Signed;
  /** The signature of a job as it is kept; undefined when there is none. It is good only when `verify` says so. */
  signature(job: string): Envelope | undefined;
  /** Names all that is wrong with the record of a job; without the index, and without taking anything for granted. */
  verify(job: string, options?: VerifyOptions): JobVerification;
  /** The job as one text that another store takes in: record, pack, signature and photographs. */
  exportJob(job: string): Exported;
  /**
   * Takes in a job that was handed on. What does not verify is refused, and so is another history of a job that is here; of
   * one that was gone on with elsewhere the rest is added.
   */
  importJob(text: string, options?: Pick<VerifyOptions, 'keys'>): Imported;
}
