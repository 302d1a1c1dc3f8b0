import { readFileSync, statSync } from 'node:fs';
import type { Digest } from '@ferrule/signing';
import { isDigest } from './is-digest.ts';
import { type DayOfUse, type Granted, type JobSummary, jobStates, type RoleTaken } from './job-summary.ts';
import { readReleaseRecord } from './lines.ts';
import type { JobFault } from './read-job.ts';
import { isJobId } from './store-folder.ts';

/** The version of the index; any other is thrown away. */
const indexFormat = 'ferrule-job-index-3';

/** Of some hundreds of thousands of jobs; what is larger was put there by something else. */
const MOST_BYTES = 256_000_000;

/** What is known of a file as long as its size and its time of change stay the same. */
export interface Known {
  readonly size: number;
  /** Milliseconds, as the file system says them. */
  readonly changed: number;
  /** One of these two is there. */
  readonly summary?: JobSummary;
  readonly fault?: JobFault;
}

/** What many jobs have in common, and is written once. */
type Head = Pick<JobSummary, 'pack' | 'overlay' | 'procedure' | 'variant' | 'release'>;

type Texts = readonly string[];

/** What a job has for itself, in this order: an array is read faster than an object with names, and is half as long. */
type Row = readonly [
  job: string,
  size: number,
  changed: number,
  /** Place among the heads. */
  head: number,
  engine: string | null,
  started: string,
  last: string,
  facts: number,
  lastDigest: Digest,
  /** Place among the states. */
  state: number,
  /** Places among the lists, which many jobs have in common as well. */
  persons: number,
  instruments: number,
  parts: number,
  holds: number,
  /** Pairs of texts, one after the other. */
  roles: number,
  uses: number,
  lots: number,
  granted: number,
  concessions: number,
  nonconforming: number,
  signed: number,
];

/** Values that are each written once, and named by their places. */
class Table {
  readonly #places = new Map<string, number>();

  placeOf(value: unknown): number {
    const text = JSON.stringify(value);
    const place = this.#places.get(text) ?? this.#places.size;
    this.#places.set(text, place);
    return place;
  }

  toString(): string {
    return `[${[...this.#places.keys()].join(',')}]`;
  }
}

export function writeIndex(known: ReadonlyMap<string, Known>): string {
  const heads = new Table();
  const lists = new Table();
  const rows: unknown[] = [];
  for (const [job, { size, changed, summary, fault }] of known) {
    if (summary === undefined) {
      if (fault !== undefined) rows.push([job, size, changed, fault.line, fault.message]);
      continue;
    }
    const { pack, overlay, procedure, variant, release, ...own } = summary;
    const row: Row = [
      job,
      size,
      changed,
      heads.placeOf({ pack, overlay, procedure, variant, release }),
      own.engine ?? null,
      own.started,
      own.last,
      own.facts,
      own.lastDigest,
      jobStates.indexOf(own.state),
      lists.placeOf(own.persons),
      lists.placeOf(own.instruments),
      lists.placeOf(own.parts),
      lists.placeOf(own.holds),
      lists.placeOf(own.roles.flatMap(({ role, person }) => [role, person])),
      lists.placeOf(own.uses.flatMap(({ instrument, day }) => [instrument, day])),
      lists.placeOf(own.lots),
      lists.placeOf(own.granted.flatMap(({ of, by }) => [of, by])),
      own.concessions,
      own.nonconforming,
      own.signed ? 1 : 0,
    ];
    rows.push(row);
  }
  return `{"format":"${indexFormat}","heads":${heads},"lists":${lists},"jobs":${JSON.stringify(rows)}}`;
}

/** What an index says; nothing at all when anything in it has not the form that is written here. */
export function readIndex(path: string): ReadonlyMap<string, Known> {
  let value: unknown;
  try {
    const found = statSync(path);
    // A pipe under this name would hold up whoever reads it.
    if (!found.isFile() || found.size > MOST_BYTES) return new Map();
    value = JSON.parse(readFileSync(path, 'utf8'));
  } catch {
    return new Map();
  }
  if (!isMap(value) || value['format'] !== indexFormat) return new Map();
  const { heads, lists, jobs } = value;
  const isWhole =
    isList(heads) && heads.every(isHead) && isList(lists) && lists.every(isTexts) && isList(jobs);
  if (!isWhole) return new Map();
  const known = new Map<string, Known>();
  for (const row of jobs) {
    if (!isList(row)) return new Map();
    const read = readRow(row, heads, lists);
    if (read === undefined) return new Map();
    known.set(String(row[0]), read);
  }
  return known;
}

function readRow(
  row: readonly unknown[],
  heads: readonly Head[],
  lists: readonly Texts[],
): Known | undefined {
  if (isRow(row)) {
    const [job, size, changed, head, engine, started, last, facts, lastDigest, at] = row;
    const shared = heads[head];
    const state = jobStates[at];
    const [persons, instruments, parts, holds, roles, uses, lots, granted] = listsOf(row, lists);
    if (shared === undefined || state === undefined) return undefined;
    if (persons === undefined || instruments === undefined || parts === undefined || holds === undefined)
      return undefined;
    if (roles === undefined || uses === undefined || lots === undefined || granted === undefined)
      return undefined;
    const { pack, overlay, procedure, variant, release } = shared;
    const summary: JobSummary = {
      job,
      pack,
      ...(overlay === undefined ? {} : { overlay }),
      procedure,
      variant,
      ...(release === undefined ? {} : { release }),
      ...(engine === null ? {} : { engine }),
      started,
      last,
      facts,
      lastDigest,
      state,
      persons,
      roles: pairsOf(roles, (role, person): RoleTaken => ({ role, person })),
      instruments,
      uses: pairsOf(uses, (instrument, day): DayOfUse => ({ instrument, day })),
      parts,
      lots,
      holds,
      granted: pairsOf(granted, (of, by): Granted => ({ of, by })),
      concessions: row[18],
      nonconforming: row[19],
      signed: row[20] === 1,
    };
    return { size, changed, summary };
  }
  const [job, size, changed, line, message] = row;
  if (!isText(job) || !isJobId(job) || typeof size !== 'number' || typeof changed !== 'number')
    return undefined;
  return row.length === 5 && isCount(line) && isText(message)
    ? { size, changed, fault: { line, message } }
    : undefined;
}

/** Lists that stand side by side in a row, from the persons to the concessions. */
const listsOf = (row: Row, lists: readonly Texts[]) => row.slice(10, 18).map((place) => lists[Number(place)]);

function pairsOf<T>(texts: Texts, made: (one: string, other: string) => T): readonly T[] {
  const pairs: T[] = [];
  for (let at = 0; at + 1 < texts.length; at += 2) pairs.push(made(texts[at] ?? '', texts[at + 1] ?? ''));
  return pairs;
}

const isMap = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

const isList = (value: unknown): value is readonly unknown[] => Array.isArray(value);

const isText = (value: unknown): value is string => typeof value === 'string';

const isCount = (value: unknown): value is number => Number.isSafeInteger(value);

const isTexts = (value: unknown): value is Texts => isList(value) && value.every(isText);

const isRevision = (value: unknown): boolean =>
  isMap(value) && isText(value['id']) && isText(value['revision']);

function isHead(value: unknown): value is Head {
  if (!isMap(value)) return false;
  const { pack, overlay, procedure, variant, release } = value;
  const hasPack = isRevision(pack) && isMap(pack) && isText(pack['digest']);
  return (
    hasPack &&
    (overlay === undefined || isRevision(overlay)) &&
    isText(procedure) &&
    isText(variant) &&
    (release === undefined || readReleaseRecord(release) !== undefined)
  );
}

function isRow(row: readonly unknown[]): row is Row {
  const [job, size, changed, head, engine, started, last, facts, lastDigest] = row;
  return (
    row.length === 21 &&
    isText(job) &&
    isJobId(job) &&
    typeof size === 'number' &&
    typeof changed === 'number' &&
    isCount(head) &&
    (engine === null || isText(engine)) &&
    isText(started) &&
    isText(last) &&
    isCount(facts) &&
    isDigest(lastDigest) &&
    row.slice(9).every(isCount)
  );
}
