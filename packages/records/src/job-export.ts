import {
  appendFileSync,
  closeSync,
  existsSync,
  fsyncSync,
  ftruncateSync,
  openSync,
  readFileSync,
} from 'node:fs';
import { canonical, type Envelope, readEnvelope, writeEnvelope } from '@ferrule/signing';
import { getBundle, putBundle } from './bundles.ts';
import { codeOf } from './code-of.ts';
import { writeAll, writeDurably } from './durable.ts';
import { whileLocked } from './file-lock.ts';
import type { JobFinding, JobVerification } from './job-verification.ts';
import { getPhotograph, putPhotograph } from './photographs.ts';
import { readJobBytes } from './read-job.ts';
import { signatureText } from './sign-job.ts';
import { isJobId, jobPath, signaturePath } from './store-folder.ts';
import { unwritten } from './unwritten.ts';
import { photographsIn, type RecordParts, type VerifyOptions, verifyRecord } from './verify-record.ts';

/** The version of the file in which a job is handed on; any other is refused. */
export const jobExportFormat = 'ferrule-job-export-1';

/** The most that such a file may have, in characters. */
const MOST_EXPORT_CHARACTERS = 64 * 1024 * 1024;

export type Exported =
  | { readonly text: string; readonly refused?: undefined }
  /** `line` is that of the job file, from 1; 0 is the file as a whole. */
  | { readonly refused: 'unreadable'; readonly line: number; readonly message: string }
  | { readonly refused: 'too-large'; readonly message: string };

export type Imported =
  | {
      readonly imported: string;
      readonly facts: number;
      /** Whether the store did not have it, had the beginning of it, or had all of it. */
      readonly was: 'new' | 'continued' | 'there';
      readonly refused?: undefined;
    }
  | {
      readonly refused: 'no-export' | 'too-large' | 'unsound' | 'other-history' | 'not-written';
      readonly message: string;
      readonly findings?: readonly JobFinding[];
    };

/** What such a file holds. */
interface Parcel {
  readonly job: string;
  readonly record: Uint8Array;
  readonly bundle?: string;
  readonly signature?: Envelope;
  readonly photographs: ReadonlyMap<string, Uint8Array>;
}

/** A job as one text: the record byte by byte, its pack, its signature, and the photographs that the store has. */
export function exportJob(folder: string, job: string): Exported {
  let record: Buffer;
  try {
    record = readFileSync(jobPath(folder, job));
  } catch (error) {
    if (error instanceof RangeError) throw error;
    return { refused: 'unreadable', line: 0, message: `The job file cannot be read (${codeOf(error)}).` };
  }
  const read = readJobBytes(record);
  if (read.fault !== undefined) return { refused: 'unreadable', ...read.fault };
  const bundle = getBundle(folder, read.header.pack.digest);
  const text = signatureText(folder, job);
  const signature = text === undefined ? undefined : readEnvelope(text);
  const photographs: Record<string, string> = {};
  let size = read.size + (bundle?.length ?? 0) + (text?.length ?? 0);
  for (const digest of photographsIn(read.facts).keys()) {
    const bytes = getPhotograph(folder, digest)?.bytes;
    if (bytes === undefined) continue;
    size += (bytes.length * 4) / 3;
    if (size > MOST_EXPORT_CHARACTERS) break;
    photographs[digest] = Buffer.from(bytes).toString('base64');
  }
  const written =
    size > MOST_EXPORT_CHARACTERS
      ? ''
      : canonical({
          format: jobExportFormat,
          job,
          record: record.toString('utf8', 0, read.size),
          ...(bundle === undefined ? {} : { bundle }),
          ...(signature === undefined ? {} : { signature }),
          photographs,
        });
  return written === '' || written.length > MOST_EXPORT_CHARACTERS
    ? {
        refused: 'too-large',
        message: `With its photographs the job is larger than ${MOST_EXPORT_CHARACTERS / 1024 / 1024} MB. Copy the folder of the store instead.`,
      }
    : { text: `${written}\n` };
}

/** The parts of a file in which a job was handed on; undefined when a text is none. */
function parcelOf(text: string): Parcel | undefined {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return undefined;
  }
  if (typeof value !== 'object' || value === null) return undefined;
  if (!('format' in value && 'job' in value && 'record' in value && 'photographs' in value)) return undefined;
  const { format, job, record, photographs } = value;
  if (format !== jobExportFormat || typeof job !== 'string' || !isJobId(job)) return undefined;
  if (typeof record !== 'string' || typeof photographs !== 'object' || photographs === null) return undefined;
  const bundle = 'bundle' in value ? value.bundle : undefined;
  if (bundle !== undefined && typeof bundle !== 'string') return undefined;
  const signature = 'signature' in value ? readEnvelope(JSON.stringify(value.signature)) : undefined;
  if ('signature' in value && signature === undefined) return undefined;
  const pictures = new Map<string, Uint8Array>();
  for (const [digest, encoded] of Object.entries(photographs)) {
    if (typeof encoded !== 'string') return undefined;
    pictures.set(digest, Buffer.from(encoded, 'base64'));
  }
  return {
    ...{ job, record: Buffer.from(record, 'utf8'), photographs: pictures },
    ...(bundle === undefined ? {} : { bundle }),
    ...(signature === undefined ? {} : { signature }),
  };
}

const partsOf = ({ job, record, bundle, signature, photographs }: Parcel): RecordParts => ({
  job,
  record,
  ...(signature === undefined ? {} : { signature: writeEnvelope(signature) }),
  bundle: () => (bundle === undefined ? undefined : Buffer.from(bundle, 'utf8')),
  photograph: (digest) => photographs.get(digest),
});

/** Holds a job that was handed on in one file against itself, as a store does; undefined when a text is no such file. */
export function verifyExport(text: string, options: VerifyOptions = {}): JobVerification | undefined {
  const parcel = text.length > MOST_EXPORT_CHARACTERS ? undefined : parcelOf(text);
  return parcel === undefined ? undefined : verifyRecord(partsOf(parcel), options);
}

/** Takes a job that was handed on into a store. `keys` are those that count for its signature, where there is one. */
export function importJob(folder: string, text: string, { keys }: VerifyOptions): Imported {
  if (text.length > MOST_EXPORT_CHARACTERS)
    return {
      refused: 'too-large',
      message: `A job that is handed on has at most ${MOST_EXPORT_CHARACTERS / 1024 / 1024} MB.`,
    };
  const parcel = parcelOf(text);
  if (parcel === undefined)
    return { refused: 'no-export', message: 'This is no job that was handed on in one file.' };
  const { findings } = verifyRecord(partsOf(parcel), keys === undefined ? {} : { keys });
  const [first] = findings;
  if (first !== undefined)
    return { refused: 'unsound', message: `The record is not sound. ${first.message}`, findings };
  const read = readJobBytes(parcel.record);
  if (read.fault !== undefined) return { refused: 'unsound', message: read.fault.message };
  const unasked = [...parcel.photographs.keys()].find((digest) => !photographsIn(read.facts).has(digest));
  if (unasked !== undefined)
    return { refused: 'unsound', message: `It brings a picture that no fact names (${unasked}).` };
  try {
    return take(folder, parcel, read.header.pack.digest, read.facts.length);
  } catch (error) {
    return { refused: 'not-written', message: unwritten(`The job ${parcel.job}`, error) };
  }
}

/** The pack and the pictures first, so that the record never stands without them; the signature last. */
function take(folder: string, parcel: Parcel, pack: string, facts: number): Imported {
  const { job, record, bundle, signature, photographs } = parcel;
  const unkept = bundle === undefined ? undefined : putBundle(folder, pack, bundle);
  if (unkept !== undefined) return { refused: 'not-written', message: unkept };
  for (const [digest, bytes] of photographs) {
    const put = putPhotograph(folder, bytes);
    if (put.refused !== undefined) return { refused: 'unsound', message: `${digest}: ${put.message}` };
  }
  const path = jobPath(folder, job);
  const was = whileLocked(path, () => takeRecord(path, record));
  if (was === undefined)
    return {
      refused: 'not-written',
      message: 'Another process keeps the job file locked. Try again when it has ended.',
    };
  if (was === 'other')
    return {
      refused: 'other-history',
      message: `The store has a job ${job} with another history. Neither of the two is a continuation of the other.`,
    };
  if (signature !== undefined && signatureText(folder, job) === undefined && was !== 'behind')
    writeDurably(signaturePath(folder, job), writeEnvelope(signature));
  return { imported: job, facts, was: was === 'behind' ? 'there' : was };
}

const NEWLINE = 0x0a;

/** What stands in a store of a record, before the rest of it is written. */
function takeRecord(path: string, record: Uint8Array): 'new' | 'continued' | 'there' | 'behind' | 'other' {
  if (!existsSync(path)) {
    writeDurably(path, record);
    return 'new';
  }
  const handle = openSync(path, 'r+');
  try {
    const found = readFileSync(handle);
    // A write that was cut off here was never confirmed, and is no history.
    const mine = found.subarray(0, found.lastIndexOf(NEWLINE) + 1);
    const theirs = Buffer.from(record.buffer, record.byteOffset, record.byteLength);
    const shared = Math.min(mine.length, theirs.length);
    if (!mine.subarray(0, shared).equals(theirs.subarray(0, shared))) return 'other';
    if (mine.length >= theirs.length) return mine.length === theirs.length ? 'there' : 'behind';
    if (mine.length < found.length) {
      appendFileSync(`${path}.torn`, found.subarray(mine.length));
      ftruncateSync(handle, mine.length);
    }
    writeAll(handle, theirs.subarray(mine.length), mine.length);
    fsyncSync(handle);
    return 'continued';
  } finally {
    closeSync(handle);
  }
}
