import {
  appendFileSync,
  closeSync,
  fstatSync,
  fsyncSync,
  ftruncateSync,
  lstatSync,
  openSync,
  readFileSync,
  rmSync,
  writeSync,
} from 'node:fs';
import { dirname } from 'node:path';
import type { Fact } from '@ferrule/engine';
import { digestOf } from '@ferrule/signing';
import { whileLocked } from './file-lock.ts';
import type { JobHeader } from './job-header.ts';
import { jobNamedBy, jobPath } from './job-store.ts';
import { batchLine, headerLine, headerStart } from './lines.ts';
import { makeFolder } from './make-folder.ts';
import {
  codeOf,
  type JobContent,
  type JobFault,
  type JobReading,
  readJob,
  readJobBytes,
} from './read-job.ts';

export type Appended =
  /** On the disk, and confirmed. */
  | { readonly appended: number; readonly refused?: undefined }
  | { readonly refused: 'stale-sequence' | 'not-written'; readonly message: string };

/**
 * Begins a job in a store folder, which is made when it is not there. There must be no such job yet; what an attempt has
 * left that never came as far as its first line is none.
 */
export function createJob(
  store: string,
  header: JobHeader,
): { readonly file: JobFile } | { readonly fault: JobFault } {
  const path = jobPath(store, header.job);
  const line = headerLine(header);
  const bytes = Buffer.from(`${line}\n`, 'utf8');
  try {
    makeFolder(store);
    const isMade = whileLocked(path, () => {
      if (!isFree(path)) return false;
      writeNew(path, bytes);
      return true;
    });
    if (isMade === undefined) return { fault: { line: 0, message: BUSY } };
    if (!isMade)
      return { fault: { line: 0, message: `There is a job ${header.job} in this store already.` } };
    syncFolder(dirname(path));
  } catch (error) {
    return { fault: { line: 0, message: `The job file ${path} cannot be made (${codeOf(error)}).` } };
  }
  return { file: new JobFile(path, { header, facts: [], last: digestOf(line), size: bytes.length }) };
}

/** Whether nothing stands under a name, or only the beginning of a first line that was cut off. */
function isFree(path: string): boolean {
  const found = lstatSync(path, { throwIfNoEntry: false });
  if (found === undefined) return true;
  if (!found.isFile()) return false;
  const text = readFileSync(path, 'utf8');
  const begins = headerStart.startsWith(text.slice(0, headerStart.length));
  return begins && !text.includes('\n');
}

/** Writes a new file durably; one that cannot be written whole is not left there. */
function writeNew(path: string, bytes: Uint8Array): void {
  const handle = openSync(path, 'w');
  try {
    writeAll(handle, bytes);
    fsyncSync(handle);
  } catch (error) {
    rmSync(path, { force: true });
    throw error;
  } finally {
    closeSync(handle);
  }
}

/**
 * Opens a job file to go on with it. A torn last line is moved to a file beside it (`….torn`) and `setAside` says so.
 * Gives a fault that names the line when the file cannot be relied on, or when it is not the file of its job but a copy.
 */
export function openJob(
  path: string,
): { readonly file: JobFile; readonly setAside?: string } | { readonly fault: JobFault } {
  const read = readToGoOn(path);
  if (read.fault !== undefined) return { fault: read.fault };
  if (read.torn === undefined) return { file: new JobFile(path, read) };
  const { line, message } = read.torn;
  try {
    return whileLocked(path, () => setAside(path)) ?? { fault: { line: 0, message: BUSY } };
  } catch (error) {
    return { fault: { line, message: `${message} It cannot be set aside (${codeOf(error)}).` } };
  }
}

/**
 * Moves a torn line away. What was read before the lock was held is no longer of use: the line may have been whole a
 * moment later, or set aside by another process that has gone on since.
 */
function setAside(path: string): ReturnType<typeof openJob> {
  const read = readToGoOn(path);
  if (read.fault !== undefined) return { fault: read.fault };
  const { torn, ...content } = read;
  if (torn === undefined) return { file: new JobFile(path, content) };
  const aside = `${path}.torn`;
  appendFileSync(aside, torn.bytes);
  const handle = openSync(path, 'r+');
  try {
    ftruncateSync(handle, content.size);
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
  return { file: new JobFile(path, content), setAside: `${torn.message} It was set aside in ${aside}.` };
}

/** Two files of one job would be two histories, so only the one that has its name is gone on with. */
function readToGoOn(path: string): JobReading {
  const read = readJob(path);
  if (read.fault !== undefined || read.header.job === jobNamedBy(path)) return read;
  const message = `Line 1: this is the job ${read.header.job}, in a file that was copied or renamed. Go on with the file ${read.header.job}.jsonl, or give this one that name if there is no other.`;
  return { fault: { line: 1, message } };
}

const BUSY = 'Another process keeps the job file locked. Try again when it has ended.';

/** An open job file. Facts are only ever added to it, a batch at a time and durably. */
export class JobFile {
  readonly path: string;
  #content: JobContent;

  constructor(path: string, content: JobContent) {
    this.path = path;
    this.#content = content;
  }

  get header(): JobHeader {
    return this.#content.header;
  }

  get facts(): readonly Fact[] {
    return this.#content.facts;
  }

  /** The sequence number of the last fact; 0 when there is none. */
  get seq(): number {
    return this.#content.facts.length;
  }

  /**
   * Adds a batch, whole or not at all, and returns when it is on the disk. `expectedSeq` is the last fact that the caller
   * has seen; when the file has gone on since then, whoever wrote it, the batch is refused. Throws when the facts do not
   * count on from there, since that is a defect of the caller.
   */
  append(facts: readonly Fact[], expectedSeq: number): Appended {
    if (facts.length === 0 || facts.some((fact, index) => fact.seq !== expectedSeq + index + 1))
      throw new RangeError('the facts of a batch count on from the expected sequence number');
    try {
      return (
        whileLocked(this.path, () => this.#append(facts, expectedSeq)) ?? {
          refused: 'not-written',
          message: BUSY,
        }
      );
    } catch (error) {
      return {
        refused: 'not-written',
        message:
          codeOf(error) === 'ENOENT'
            ? `The job file ${this.path} is gone. Nothing was recorded. Put it back where it was, and give this once more.`
            : `The job file ${this.path} cannot be written (${codeOf(error)}). Nothing was recorded. Give this once more when it can.`,
      };
    }
  }

  #append(facts: readonly Fact[], expectedSeq: number): Appended {
    const handle = openSync(this.path, 'r+');
    try {
      if (fstatSync(handle).size !== this.#content.size) {
        const now = readJobBytes(readFileSync(this.path));
        if (now.fault !== undefined || now.torn !== undefined) {
          const message = now.fault?.message ?? now.torn?.message ?? '';
          return {
            refused: 'not-written',
            message: `The job file was changed by something else. ${message}`,
          };
        }
        this.#content = now;
      }
      const { size, last } = this.#content;
      if (this.seq !== expectedSeq) {
        return {
          refused: 'stale-sequence',
          message: `The job has moved on to fact ${this.seq}; this was made at ${expectedSeq}. Nothing was recorded.`,
        };
      }
      const batch = batchLine(facts, last);
      const bytes = Buffer.from(`${batch.line}\n`, 'utf8');
      try {
        writeAll(handle, bytes, size);
        fsyncSync(handle);
      } catch (error) {
        // What was half written is no line, and must not become the start of the next one.
        ftruncateSync(handle, size);
        throw error;
      }
      this.#content = {
        header: this.header,
        facts: [...this.facts, ...facts],
        last: batch.last,
        size: size + bytes.length,
      };
      return { appended: this.seq };
    } finally {
      closeSync(handle);
    }
  }
}

function writeAll(handle: number, bytes: Uint8Array, at = 0): void {
  for (let written = 0; written < bytes.length; )
    written += writeSync(handle, bytes, written, bytes.length - written, at + written);
}

/** Makes the name of a new file durable. Windows opens no folders, and needs nothing of the kind. */
function syncFolder(folder: string): void {
  let handle: number;
  try {
    handle = openSync(folder, 'r');
  } catch {
    return;
  }
  try {
    fsyncSync(handle);
  } catch {
    // Some file systems do not sync folders.
  } finally {
    closeSync(handle);
  }
}
