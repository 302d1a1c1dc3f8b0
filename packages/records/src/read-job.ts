import { isUtf8 } from 'node:buffer';
import { readFileSync, statSync } from 'node:fs';
import type { Fact } from '@ferrule/engine';
import { type Digest, digestOf } from '@ferrule/signing';
import { codeOf } from './code-of.ts';
import type { JobHeader } from './job-header.ts';
import { type Batch, readBatch, readHeader } from './lines.ts';
import { jobNamedBy } from './store-folder.ts';

/** Why a job file cannot be relied on. Lines count from 1; 0 is the file as a whole. */
export interface JobFault {
  readonly line: number;
  readonly message: string;
}

/** What stands after the last complete line: a write that was cut off, and so was never confirmed. */
export interface TornLine {
  readonly line: number;
  readonly bytes: Uint8Array;
  readonly message: string;
}

export interface JobContent {
  readonly header: JobHeader;
  readonly facts: readonly Fact[];
  /** Digests of what was asked for, by the sequence number of the first fact of the batch that answers it. */
  readonly asked: ReadonlyMap<number, Digest>;
  /** Digest that the next fact carries. */
  readonly last: Digest;
  /** Bytes of the complete lines. */
  readonly size: number;
  readonly torn?: TornLine;
}

export type JobReading =
  | (JobContent & { readonly fault?: undefined })
  | { readonly fault: JobFault; readonly facts?: undefined; readonly torn?: undefined };

/** Reads the line of a batch that follows the fact of a digest and a number. */
export interface LineReader {
  readBatch(line: Buffer, before: Digest, seq: number): Batch | { readonly wrong: string };
}

const oneByOne: LineReader = { readBatch };

const NEWLINE = 0x0a;

/** What to do about a file that something else has changed: nothing in it can be put right by hand. */
const RESTORE =
  'Put back a copy from before it was changed, or begin the job anew; do not mend the file by hand.';

/** Of a record whose first line alone is there: a job is begun with at least one fact. */
export const noFact: JobFault = {
  line: 2,
  message: `Line 2 is missing or torn: no fact of the job is there. ${RESTORE}`,
};

/**
 * Reads a job file: its header and its facts, every digest checked. A last line without its end is reported as torn and
 * not read. Anything else that is wrong gives a fault that names the line. Reads only; never throws for what it finds. Whoever
 * reads many jobs hands the same `AlikeLines` to each call.
 */
export function readJob(file: string, lines: LineReader = oneByOne): JobReading {
  let bytes: Uint8Array;
  try {
    // A pipe under this name would hold up whoever reads it.
    if (!statSync(file).isFile()) return { fault: { line: 0, message: `${file} is no file.` } };
    bytes = readFileSync(file);
  } catch (error) {
    return { fault: { line: 0, message: `The job file cannot be read (${codeOf(error)}).` } };
  }
  return readJobBytes(bytes, lines);
}

/** As `readJob`, from bytes that are at hand. */
export function readJobBytes(content: Uint8Array, lines: LineReader = oneByOne): JobReading {
  const bytes = Buffer.from(content.buffer, content.byteOffset, content.byteLength);
  const size = bytes.lastIndexOf(NEWLINE) + 1;
  const whole = bytes.subarray(0, size);
  if (!isUtf8(whole)) return { fault: { line: 0, message: `The job file is not UTF-8 text. ${RESTORE}` } };
  // An editor leaves these behind, and then every digest is another.
  const mark = whole.subarray(0, 3).equals(BYTE_ORDER_MARK)
    ? 'a byte order mark'
    : whole.includes('\r\n')
      ? 'Windows line ends'
      : undefined;
  if (mark !== undefined) return faultAt(1, `it has ${mark}, so another program has saved the file`);
  if (size === 0)
    return {
      fault: {
        line: 1,
        message: `Line 1 is missing or torn: the file does not say which job it is. ${RESTORE}`,
      },
    };
  let end = whole.indexOf(NEWLINE);
  const first = whole.subarray(0, end);
  const read = readHeader(first.toString('utf8'));
  if ('wrong' in read) return faultAt(1, read.wrong);
  const facts: Fact[] = [];
  const asked = new Map<number, Digest>();
  let last = digestOf(first);
  let line = 2;
  for (let start = end + 1; start < size; start = end + 1) {
    end = whole.indexOf(NEWLINE, start);
    const batch = lines.readBatch(whole.subarray(start, end), last, facts.length);
    if ('wrong' in batch) return faultAt(line, batch.wrong);
    if (batch.asked !== undefined) asked.set(facts.length + 1, batch.asked);
    for (const fact of batch.facts) facts.push(fact);
    last = batch.last;
    line += 1;
  }
  const torn = tornLine(bytes, size, line);
  return { header: read.header, facts, asked, last, size, ...(torn === undefined ? {} : { torn }) };
}

const BYTE_ORDER_MARK = Buffer.of(0xef, 0xbb, 0xbf);

const faultAt = (line: number, wrong: string): JobReading => ({
  fault: { line, message: `Line ${line}: ${wrong}. ${RESTORE}` },
});

/** Two files of one job would be two histories, so only the one that has its name is gone on with. */
export function otherName(path: string, { job }: JobHeader): JobFault | undefined {
  if (job === jobNamedBy(path)) return undefined;
  const message = `Line 1: this is the job ${job}, in a file that was copied or renamed. Go on with the file ${job}.jsonl, or give this one that name if there is no other.`;
  return { line: 1, message };
}

/** The job that a file of a store is named after; a copy under another name is a fault. */
export function readNamedJob(path: string, lines: LineReader = oneByOne): JobReading {
  const read = readJob(path, lines);
  const fault = read.fault ?? otherName(path, read.header);
  return fault === undefined ? read : { fault };
}

function tornLine(bytes: Uint8Array, size: number, line: number): TornLine | undefined {
  if (size === bytes.length) return undefined;
  const count = bytes.length - size;
  return {
    line,
    bytes: bytes.slice(size),
    message: `Line ${line} was cut off after ${count} bytes while it was written. It was never confirmed and does not count.`,
  };
}
