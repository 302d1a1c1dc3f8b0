import {
  appendFileSync,
  closeSync,
  fsyncSync,
  ftruncateSync,
  lstatSync,
  openSync,
  readFileSync,
} from 'node:fs';
import type { Fact } from '@ferrule/engine';
import { type Digest, digestOf } from '@ferrule/signing';
import { codeOf } from './code-of.ts';
import { writeAll, writeDurably } from './durable.ts';
import { whileLocked } from './file-lock.ts';
import type { JobHeader } from './job-header.ts';
import type { Appended, Created, JobEnd } from './job-store.ts';
import { batchLine, headerLine } from './lines.ts';
import { type JobContent, otherName, readJobBytes } from './read-job.ts';
import { stampOf, stampOfOpen } from './stamp.ts';
import { unwritten } from './unwritten.ts';

/** What has to be known of a file to add to it. */
export type Tail = JobEnd;

export const tailOf = ({ facts, last, size }: JobContent, stamp: string | undefined): Tail => ({
  ...{ seq: facts.length, last, size, stamp },
});

const BUSY = 'Another process keeps the job file locked. Try again when it has ended.';

/**
 * Begins the file of a job, with its first batch. It comes under its name whole, so whatever else stands there, also nothing at
 * all, is what is left of a job: it is not written over.
 */
export function createFile(
  path: string,
  header: JobHeader,
  facts: readonly Fact[],
  asked?: Digest,
): Created & { readonly tail?: Tail } {
  const line = headerLine(header);
  const batch = facts.length === 0 ? undefined : batchLine(facts, digestOf(line), asked);
  const bytes = Buffer.from(batch === undefined ? `${line}\n` : `${line}\n${batch.line}\n`, 'utf8');
  try {
    const made = whileLocked(path, (): { readonly stamp: string | undefined } | 'taken' => {
      if (lstatSync(path, { throwIfNoEntry: false }) !== undefined) return 'taken';
      writeDurably(path, bytes);
      return { stamp: stampOf(path) };
    });
    if (made === undefined) return { refused: 'not-written', message: BUSY };
    if (made === 'taken')
      return { refused: 'job-exists', message: `There is a job ${header.job} in this store already.` };
    const tail = { seq: facts.length, last: batch?.last ?? digestOf(line), size: bytes.length, ...made };
    return { created: facts.length, tail };
  } catch (error) {
    return { refused: 'not-written', message: unwritten(`The job file ${path}`, error) };
  }
}

/**
 * Adds a batch to the file of a job, whole or not at all, and returns when it is on the disk. `known` is what was last seen
 * of the file; where it was changed since it is read again. Throws when the facts do not count on from `expectedSeq`,
 * since that is a defect of the caller.
 */
export function appendToFile(
  path: string,
  known: Tail | undefined,
  facts: readonly Fact[],
  expectedSeq: number,
  asked?: Digest,
): Appended & { readonly tail?: Tail } {
  if (facts.length === 0 || facts.some((fact, index) => fact.seq !== expectedSeq + index + 1))
    throw new RangeError('the facts of a batch count on from the expected sequence number');
  try {
    return (
      whileLocked(path, () => append(path, known, facts, expectedSeq, asked)) ?? {
        refused: 'not-written',
        message: BUSY,
      }
    );
  } catch (error) {
    return {
      refused: 'not-written',
      message:
        codeOf(error) === 'ENOENT'
          ? `The job file ${path} is gone. Nothing was recorded. Put it back where it was, and give this once more.`
          : unwritten(`The job file ${path}`, error),
    };
  }
}

function append(
  path: string,
  known: Tail | undefined,
  facts: readonly Fact[],
  expectedSeq: number,
  asked: Digest | undefined,
): Appended & { readonly tail?: Tail } {
  const handle = openSync(path, 'r+');
  try {
    let tail = known;
    let setAside: string | undefined;
    const stamp = stampOfOpen(handle);
    if (tail === undefined || stamp !== tail.stamp) {
      const now = readJobBytes(readFileSync(handle));
      const fault = now.fault ?? otherName(path, now.header);
      if (now.fault !== undefined || fault !== undefined) {
        const message = `The job file was changed by something else. ${fault?.message ?? ''}`;
        return { refused: 'not-written', message };
      }
      // Behind a torn end nothing can be written, so what is known of such a file holds for this once.
      tail = tailOf(now, now.torn === undefined ? stamp : undefined);
      // Whoever writes holds the lock, so this is all that an earlier write will ever come to.
      if (now.torn !== undefined && tail.seq === expectedSeq) {
        appendFileSync(`${path}.torn`, now.torn.bytes);
        ftruncateSync(handle, tail.size);
        fsyncSync(handle);
        setAside = `${now.torn.message} It was set aside in ${path}.torn.`;
      }
    }
    const { seq, size, last } = tail;
    if (seq !== expectedSeq) {
      const message = `The job has moved on to fact ${seq}; this was made at ${expectedSeq}. Nothing was recorded.`;
      return { refused: 'stale-sequence', message, tail };
    }
    const batch = batchLine(facts, last, asked);
    const bytes = Buffer.from(`${batch.line}\n`, 'utf8');
    try {
      writeAll(handle, bytes, size);
      fsyncSync(handle);
    } catch (error) {
      // What was half written is no line, and must not become the start of the next one.
      ftruncateSync(handle, size);
      throw error;
    }
    return {
      appended: seq + facts.length,
      ...(setAside === undefined ? {} : { setAside }),
      tail: {
        seq: seq + facts.length,
        last: batch.last,
        size: size + bytes.length,
        stamp: stampOfOpen(handle),
      },
    };
  } finally {
    closeSync(handle);
  }
}
