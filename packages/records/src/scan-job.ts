import { isUtf8 } from 'node:buffer';
import type { Fact } from '@ferrule/engine';
import { canonical, type Digest, digestOf } from '@ferrule/signing';
import type { JobHeader } from './job-header.ts';
import { saidDigest } from './job-statement.ts';
import { isFact, placesOfFacts, readHeader } from './lines.ts';

/** A fact as it stands in a file of which nothing is taken for granted. */
export interface ScannedFact {
  readonly line: number;
  readonly seq: number;
  /** Digest of it as it is stored. */
  readonly digest: Digest;
  /** Digest of what it says, without number and link. */
  readonly said: Digest;
  /** The digest that it carries of the one before. */
  readonly before: unknown;
  /** What its line says its digest is; only the last fact of a line has that. */
  readonly claimed?: unknown;
  readonly fact: Fact;
}

/** What a job file holds, as far as anything can be made of it. */
export interface JobScan {
  readonly header?: JobHeader;
  readonly headerDigest?: Digest;
  readonly facts: readonly ScannedFact[];
  /** Lines of which nothing, or not all, can be made. */
  readonly wrong: readonly { readonly line: number; readonly message: string }[];
  /** Lines that say what they should and are not written as they should. */
  readonly notCanonical: readonly number[];
  /** How many bytes stand behind the last complete line. */
  readonly torn: number;
}

const NEWLINE = 0x0a;

/** Takes in a job file line by line and goes on after whatever is wrong, so that all of it can be named. */
export function scanJob(content: Uint8Array): JobScan {
  const bytes = Buffer.from(content.buffer, content.byteOffset, content.byteLength);
  const facts: ScannedFact[] = [];
  const wrong: { line: number; message: string }[] = [];
  const notCanonical: number[] = [];
  let header: JobHeader | undefined;
  let headerDigest: Digest | undefined;
  let start = 0;
  let line = 0;
  for (let end = bytes.indexOf(NEWLINE); end >= 0; end = bytes.indexOf(NEWLINE, start)) {
    const piece = bytes.subarray(start, end);
    start = end + 1;
    line += 1;
    if (!isUtf8(piece)) wrong.push({ line, message: 'it is not UTF-8 text' });
    else if (line === 1) {
      const read = readHeader(piece.toString('utf8'));
      headerDigest = digestOf(piece);
      if ('wrong' in read) wrong.push({ line, message: read.wrong });
      else header = read.header;
    } else scanBatch(piece, line, facts, wrong, notCanonical);
  }
  return {
    ...(header === undefined ? {} : { header }),
    ...(headerDigest === undefined ? {} : { headerDigest }),
    ...{ facts, wrong, notCanonical, torn: bytes.length - start },
  };
}

type Map = Readonly<Record<string, unknown>>;

const isMap = (value: unknown): value is Map =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function scanBatch(
  piece: Buffer,
  line: number,
  facts: ScannedFact[],
  wrong: { line: number; message: string }[],
  notCanonical: number[],
): void {
  let value: unknown;
  let isWritten: boolean;
  try {
    const text = piece.toString('utf8');
    value = JSON.parse(text);
    isWritten = canonical(value) === text;
  } catch (error) {
    // JSON.parse throws a SyntaxError; canonical a TypeError for half a character in a text.
    if (!(error instanceof SyntaxError || error instanceof TypeError)) throw error;
    wrong.push({ line, message: 'it is not JSON' });
    return;
  }
  const list = isMap(value) ? value['facts'] : undefined;
  if (!isMap(value) || !Array.isArray(list) || list.length === 0) {
    wrong.push({ line, message: 'it holds no facts' });
    return;
  }
  if (!isWritten) notCanonical.push(line);
  const places = placesOfFacts(piece);
  for (const [index, item] of (list as readonly unknown[]).entries()) {
    const { before, asked: _, ...fact } = isMap(item) ? item : {};
    if (!isMap(item) || !isFact(fact) || !Number.isSafeInteger(fact.seq)) {
      wrong.push({ line, message: `item ${index + 1} of it is no fact` });
      continue;
    }
    const [from, to] = places?.[index] ?? [];
    facts.push({
      ...{ line, seq: fact.seq, before, said: saidDigest(item), fact },
      digest: digestOf(from === undefined ? canonical(item) : piece.subarray(from, to)),
      ...(index === list.length - 1 ? { claimed: value['last'] } : {}),
    });
  }
}
