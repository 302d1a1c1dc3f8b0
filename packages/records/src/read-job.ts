import { readFileSync } from 'node:fs';
import type { Fact } from '@ferrule/engine';
import { type Digest, digestOf } from '@ferrule/signing';
import type { JobHeader } from './job-header.ts';
import { readBatch, readHeader } from './lines.ts';

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
  /** Digest that the next fact carries. */
  readonly last: Digest;
  /** Bytes of the complete lines. */
  readonly size: number;
  readonly torn?: TornLine;
}

export type JobReading =
  | (JobContent & { readonly fault?: undefined })
  | { readonly fault: JobFault; readonly torn?: undefined };

const NEWLINE = 0x0a;

/** What to do about a file that something else has changed: nothing in it can be put right by hand. */
const RESTORE =
  'Put back a copy from before it was changed, or begin the job anew; do not mend the file by hand.';

/**
 * Reads a job file: its header and its facts, every digest checked. A last line without its end is reported as torn and
 * not read. Anything else that is wrong gives a fault that names the line. Reads only; never throws for what it finds.
 */
export function readJob(file: string): JobReading {
  let bytes: Uint8Array;
  try {
    bytes = readFileSync(file);
  } catch (error) {
    return { fault: { line: 0, message: `The job file cannot be read (${codeOf(error)}).` } };
  }
  return readJobBytes(bytes);
}

export function readJobBytes(bytes: Uint8Array): JobReading {
  const size = bytes.lastIndexOf(NEWLINE) + 1;
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes.subarray(0, size));
  } catch {
    return { fault: { line: 0, message: `The job file is not UTF-8 text. ${RESTORE}` } };
  }
  // An editor leaves these behind, and then every digest is another.
  const mark = text.startsWith('\ufeff')
    ? 'a byte order mark'
    : text.includes('\r\n')
      ? 'Windows line ends'
      : undefined;
  if (mark !== undefined)
    return {
      fault: {
        line: 1,
        message: `Line 1: it has ${mark}, so another program has saved the file. ${RESTORE}`,
      },
    };
  const [first, ...rest] = text.split('\n').slice(0, -1);
  if (first === undefined)
    return {
      fault: { line: 1, message: 'Line 1 is missing or torn: the file does not say which job it is.' },
    };
  const read = readHeader(first);
  if ('wrong' in read) return { fault: { line: 1, message: `Line 1: ${read.wrong}. ${RESTORE}` } };
  const facts: Fact[] = [];
  let last = digestOf(first);
  for (const [index, line] of rest.entries()) {
    const batch = readBatch(line, last, facts.length);
    if ('wrong' in batch)
      return { fault: { line: index + 2, message: `Line ${index + 2}: ${batch.wrong}. ${RESTORE}` } };
    facts.push(...batch.facts);
    last = batch.last;
  }
  const torn = tornLine(bytes, size, rest.length + 2);
  return { header: read.header, facts, last, size, ...(torn === undefined ? {} : { torn }) };
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

export const codeOf = (error: unknown): string =>
  error instanceof Error && 'code' in error ? String(error.code) : String(error);
