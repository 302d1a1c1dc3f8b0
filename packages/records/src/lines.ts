import { type Fact, factKinds } from '@ferrule/engine';
import { canonical, type Digest, digestOf } from '@ferrule/signing';
import { type JobHeader, jobFormat } from './job-header.ts';

/** The first line of a job file, without its end. */
export const headerLine = (header: JobHeader): string => canonical({ format: jobFormat, ...header });

/** How every first line begins: `format` stands before the other members in canonical form. */
export const headerStart = `{"format":"${jobFormat}",`;

/** One line for one batch: each fact with the digest of the one before, and the digest of the last. */
export function batchLine(
  facts: readonly Fact[],
  before: Digest,
): { readonly line: string; readonly last: Digest } {
  let last = before;
  const stored = facts.map((fact) => {
    const linked = { ...fact, before: last };
    last = digestOf(canonical(linked));
    return linked;
  });
  return { line: canonical({ facts: stored, last }), last };
}

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
  return isCanonical(value, line)
    ? { value }
    : { wrong: 'it is not in canonical form, so it was written or changed by something else' };
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
  const { format, job, pack, overlay, procedure, variant } = read.value;
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
  return {
    header: {
      ...{ job, pack: { id, revision, path, digest }, procedure, variant },
      ...(laid === undefined ? {} : { overlay: laid }),
    },
  };
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
  readonly last: Digest;
}

/** Reads the line of a batch that follows the fact with the digest `before` and the sequence number `seq`. */
export function readBatch(line: string, before: Digest, seq: number): Batch | { readonly wrong: string } {
  const read = parse(line);
  if ('wrong' in read) return read;
  const list = read.value['facts'];
  if (!Array.isArray(list) || list.length === 0) return { wrong: 'it holds no facts' };
  const facts: Fact[] = [];
  let link = before;
  for (const item of list as readonly unknown[]) {
    const expected = seq + facts.length + 1;
    if (!isMap(item)) return { wrong: `fact ${expected} is not a JSON object` };
    const { before: said, ...fact } = item;
    if (fact['seq'] !== expected) {
      return {
        wrong: `fact ${expected} is expected, and ${JSON.stringify(fact['seq']) ?? 'none'} stands there`,
      };
    }
    if (said !== link)
      return { wrong: `fact ${expected} does not follow the one before it: one of them was changed` };
    if (!isFact(fact))
      return { wrong: `fact ${expected} lacks what every fact has, or is of an unknown kind` };
    facts.push(fact);
    link = digestOf(canonical(item));
  }
  if (read.value['last'] !== link)
    return { wrong: `fact ${seq + facts.length} was changed: its digest differs` };
  return { facts, last: link };
}

/** The envelope and the kind; whether a fact fits the plan is for replaying to say. */
function isFact(value: unknown): value is Fact {
  if (!isMap(value)) return false;
  const { format, id, at, by, fact } = value;
  return (
    format === '1' &&
    typeof id === 'string' &&
    typeof at === 'string' &&
    typeof by === 'string' &&
    isMap(fact) &&
    factKinds.some((kind) => kind === fact['kind'])
  );
}
