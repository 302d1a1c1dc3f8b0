import type { Fact } from '@ferrule/engine';
import { misformedFact } from '@ferrule/engine/replay';
import { canonical, type Digest, digestOf } from '@ferrule/signing';
import { isDigest } from './is-digest.ts';
import { type JobHeader, jobFormat } from './job-header.ts';

/** The first line of a job file, without its end. */
export const headerLine = (header: JobHeader): string => canonical({ format: jobFormat, ...header });

/**
 * One line for one batch: each fact with the digest of the one before, and the digest of the last. The first carries the
 * digest of what was asked for, where there is one.
 */
export function batchLine(
  facts: readonly Fact[],
  before: Digest,
  asked?: Digest,
): { readonly line: string; readonly last: Digest } {
  let last = before;
  const stored = facts.map((fact, place) => {
    const text = canonical({
      ...fact,
      before: last,
      ...(place === 0 && asked !== undefined ? { asked } : {}),
    });
    last = digestOf(text);
    return text;
  });
  // This is the canonical form of the whole, put together from that of its parts.
  return { line: `${BATCH_START}${stored.join(',')}${BATCH_END}${last}"}`, last };
}

export const BATCH_START = '{"facts":[';
export const BATCH_END = '],"last":"';

type Map = Readonly<Record<string, unknown>>;

const isMap = (value: unknown): value is Map =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** A line as JSON in canonical form, or what is wrong with it. */
function parse(line: string): { readonly value: Map } | { readonly wrong: string } {
  let value: unknown;
  try {
    value = JSON.parse(line);
  } catch {
    return { wrong: 'it is not JSON' };
  }
  if (!isMap(value)) return { wrong: 'it is not a JSON object' };
  return isCanonical(value, line) ? { value } : { wrong: NOT_CANONICAL };
}

function isCanonical(value: unknown, line: string): boolean {
  try {
    return canonical(value) === line;
  } catch {
    return false;
  }
}

/** Reads the first line. */
export function readHeader(line: string): { readonly header: JobHeader } | { readonly wrong: string } {
  const read = parse(line);
  if ('wrong' in read) return read;
  const { format, job, pack, overlay, procedure, variant, release } = read.value;
  if (format !== jobFormat) {
    return {
      wrong: `its format is ${JSON.stringify(format) ?? 'not said'}, and only "${jobFormat}" is read`,
    };
  }
  const texts = isMap(pack) ? [pack['id'], pack['revision'], pack['path'], pack['digest']] : [];
  const [id, revision, path, digest] = texts;
  if (
    typeof job !== 'string' ||
    typeof procedure !== 'string' ||
    typeof variant !== 'string' ||
    typeof id !== 'string' ||
    typeof revision !== 'string' ||
    typeof path !== 'string' ||
    typeof digest !== 'string'
  ) {
    return { wrong: 'it does not say job, pack, procedure and variant' };
  }
  const laid = overlay === undefined ? undefined : readLaid(overlay);
  if (overlay !== undefined && laid === undefined) return { wrong: 'it does not say which overlay it had' };
  const released = release === undefined ? undefined : readReleaseRecord(release);
  if (release !== undefined && released === undefined)
    return { wrong: 'it does not say how the pack was released' };
  return {
    header: {
      ...{ job, pack: { id, revision, path, digest }, procedure, variant },
      ...(laid === undefined ? {} : { overlay: laid }),
      ...(released === undefined ? {} : { release: released }),
    },
  };
}

/** What a header says of a release; undefined where that has not its form. */
export function readReleaseRecord(value: unknown): JobHeader['release'] {
  const { signedBy, approved, overlay } = isMap(value) ? value : {};
  const laid = overlay === undefined ? undefined : readReleaseRecord(overlay);
  return Array.isArray(signedBy) &&
    signedBy.every((one) => typeof one === 'string') &&
    typeof approved === 'boolean' &&
    (overlay === undefined || laid !== undefined)
    ? { signedBy, approved, ...(laid === undefined ? {} : { overlay: laid }) }
    : undefined;
}

function readLaid(value: unknown): JobHeader['overlay'] {
  const texts = isMap(value) ? ['id', 'revision', 'path', 'digest', 'over'].map((key) => value[key]) : [];
  const [id, revision, path, digest, over] = texts.filter((one) => typeof one === 'string');
  return over === undefined ||
    digest === undefined ||
    path === undefined ||
    revision === undefined ||
    id === undefined
    ? undefined
    : { id, revision, path, digest, over };
}

export interface Batch {
  readonly facts: readonly Fact[];
  readonly asked?: Digest;
  readonly last: Digest;
}

const NOT_CANONICAL = 'it is not in canonical form, so it was written or changed by something else';

/**
 * Reads the line of a batch that follows the fact with the digest `before` and the sequence number `seq`. Digests are taken
 * of the bytes as they stand there, so a fact that is written otherwise has another one.
 */
export function readBatch(line: Buffer, before: Digest, seq: number): Batch | { readonly wrong: string } {
  let value: unknown;
  try {
    value = JSON.parse(line.toString('utf8'));
  } catch {
    return { wrong: 'it is not JSON' };
  }
  if (!isMap(value)) return { wrong: 'it is not a JSON object' };
  const { facts: list, last } = value;
  if (!Array.isArray(list) || list.length === 0) return { wrong: 'it holds no facts' };
  const places = placesOfFacts(line);
  if (places === undefined) return { wrong: NOT_CANONICAL };
  const facts: Fact[] = [];
  let link = before;
  let askedFor: Digest | undefined;
  for (const [index, item] of (list as readonly unknown[]).entries()) {
    const expected = seq + index + 1;
    if (!isMap(item)) return { wrong: `fact ${expected} is not a JSON object` };
    const { asked } = item;
    if (item['seq'] !== expected) {
      return {
        wrong: `fact ${expected} is expected, and ${JSON.stringify(item['seq']) ?? 'none'} stands there`,
      };
    }
    const fact = unlinked(item);
    if (item['before'] !== link)
      return { wrong: `fact ${expected} does not follow the one before it: one of them was changed` };
    if (!isFact(fact) || !(asked === undefined || (index === 0 && isDigest(asked))))
      return { wrong: `fact ${expected} has not the form of its kind, or is of an unknown kind` };
    if (asked !== undefined) askedFor = asked;
    facts.push(fact);
    const [start = 0, end = 0] = places[index] ?? [];
    link = digestOf(line.subarray(start, end));
  }
  if (last !== link) return { wrong: `fact ${seq + facts.length} was changed: its digest differs` };
  return { facts, last: link, ...(askedFor === undefined ? {} : { asked: askedFor }) };
}

/** How many members a fact has with its link. */
const MEMBERS = 7;

/** A stored fact without what the store has added to it. */
function unlinked(stored: Map): Map {
  const { format, seq, id, at, by, fact } = stored;
  // To copy named members is twice as quick as to copy all but two.
  if (Object.keys(stored).length - ('asked' in stored ? 1 : 0) === MEMBERS)
    return { format, seq, id, at, by, fact };
  const { before: _, asked: __, ...rest } = stored;
  return rest;
}

const [QUOTE, BACKSLASH, COMMA] = [0x22, 0x5c, 0x2c];
const [OPEN_LIST, CLOSE_LIST, OPEN_MAP, CLOSE_MAP] = [0x5b, 0x5d, 0x7b, 0x7d];
const SPACE = 0x20;
/** Of what follows the facts: `],"last":"sha256:…"}`. */
const END_LENGTH = BATCH_END.length + 'sha256:'.length + 64 + '"}'.length;

/** Where each fact begins and ends in a line that is JSON; undefined when the line is not put together as a batch is. */
export function placesOfFacts(line: Buffer): readonly (readonly [number, number])[] | undefined {
  if (line.toString('latin1', 0, BATCH_START.length) !== BATCH_START) return undefined;
  const places: [number, number][] = [];
  let at = BATCH_START.length;
  for (;;) {
    const start = at;
    let depth = 0;
    do {
      const sign = line[at++];
      if (sign === undefined || sign <= SPACE) return undefined;
      if (sign === QUOTE) {
        for (let inside = line[at++]; inside !== QUOTE; inside = line[at++]) {
          if (inside === undefined) return undefined;
          if (inside === BACKSLASH) at++;
        }
      } else if (sign === OPEN_MAP || sign === OPEN_LIST) depth++;
      else if (sign === CLOSE_MAP || sign === CLOSE_LIST) depth--;
    } while (depth > 0);
    places.push([start, at]);
    if (line[at] !== COMMA) break;
    at++;
  }
  const isEnd =
    line.length - at === END_LENGTH && line.toString('latin1', at, at + BATCH_END.length) === BATCH_END;
  return isEnd ? places : undefined;
}

/** Whether a value has the form of its kind of fact; whether it fits the plan is for replaying to say. */
export const isFact = (value: unknown): value is Fact => misformedFact(value) === undefined;

/** The digest of what was asked for, as the first fact of the batch that answers it carries it: of the canonical `{by, command}`. */
export const askedDigest = (asked: { readonly by: string; readonly command: unknown }): Digest =>
  digestOf(canonical(asked));
