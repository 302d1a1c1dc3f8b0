import { statSync } from 'node:fs';
import type { WrittenVerdict } from '@ferrule/engine';
import { AlikeLines, type JobHeader, jobPath, readJob } from '@ferrule/records';
import type { Aside } from './aside.ts';
import type { Judge, Measure } from './judge.ts';
import { Judges, type NewRevision } from './judges.ts';
import type { Becomes, CannotReason, Outcome } from './outcome.ts';
import { eachOutcome, WorkedOut } from './rejudge-job.ts';
import { addTallies, type Tally, tallied } from './tally.ts';
import {
  type CountedValues,
  countValues,
  scalesOf,
  togetherCounted,
  type ValueSpread,
  withoutPlace,
} from './value-spread.ts';

/** What jobs are judged by, and which. */
export interface Asked {
  readonly store: string;
  readonly revision: NewRevision;
  /** Judges again what has not changed, too. */
  readonly all: boolean;
  /** Only jobs of this procedure, as they call it. */
  readonly procedure?: string;
}

/** A verdict in a row. */
export interface RowVerdict {
  readonly verdict: WrittenVerdict['verdict'];
  readonly value?: string;
  readonly limits?: string;
  readonly because?: string;
}

/** A change by its class and its place, in the newer revision where it stands there. */
export interface RowChange {
  readonly change: string;
  readonly pointer: string;
}

/** One verdict of one job that is not what it was, or cannot be given again. */
export interface Row {
  readonly job: string;
  readonly revision: string;
  readonly procedure: string;
  readonly variant: string;
  readonly of: string;
  readonly outcome: Outcome['outcome'];
  /** The fact of the verdict then. */
  readonly seq?: number;
  readonly was?: RowVerdict;
  readonly is?: RowVerdict;
  readonly changes: readonly RowChange[];
  readonly cannot?: CannotReason;
  readonly readings?: readonly string[];
}

/** What came of all that one revision judged by one name, wherever it stands. */
export interface MeasureTally {
  readonly title: string;
  readonly limitsThen?: string;
  readonly limitsNow?: string;
  readonly changes: readonly RowChange[];
  readonly tally: Tally;
  /** How the values lie; missing where no values are judged, or by other limits at each place. */
  readonly spread?: ValueSpread;
}

/** What came of the jobs of one revision, procedure and variant. */
export type FromRevision = From<MeasureTally>;

/** The same of some of the jobs, with the values as they are counted. */
export type PartFrom = From<PartTally>;
export type PartTally = Omit<MeasureTally, 'spread'> & { readonly counted?: CountedValues };

interface From<M> {
  readonly revision: string;
  readonly digest: string;
  readonly overlay?: string;
  readonly procedure: string;
  readonly variant: string;
  readonly jobs: number;
  /** By the name of what is judged, without its place. */
  readonly measures: Readonly<Record<string, M>>;
}

/** What came of some jobs, as plain data. */
export interface ChunkResult {
  readonly jobs: number;
  /** By digest, procedure and variant. */
  readonly from: Readonly<Record<string, PartFrom>>;
  readonly rows: readonly Row[];
  readonly aside: readonly Aside[];
}

/** Judges jobs of a store again, some at a time; what is made for one of them is kept for the next. */
export class Rejudging {
  readonly #asked: Asked;
  readonly #judges: Judges;
  readonly #workedOut = new WorkedOut();
  readonly #lines = new AlikeLines();

  constructor(asked: Asked) {
    this.#asked = asked;
    this.#judges = new Judges(asked.store, asked.revision);
  }

  /** Judges the jobs of these names again. What is wrong with one of them is in the result. */
  chunk(names: readonly string[]): ChunkResult {
    const from = new Map<string, Counting>();
    const rows: Row[] = [];
    const aside: Aside[] = [];
    let jobs = 0;
    for (const job of names) {
      const path = jobPath(this.#asked.store, job);
      const read = readJob(path, this.#lines);
      if (read.fault !== undefined) {
        const because = statSync(path, { throwIfNoEntry: false })?.size === 0 ? 'empty' : 'broken';
        aside.push({ job, because, message: read.fault.message });
        continue;
      }
      const { header, facts } = read;
      if (header.job !== job) {
        const message = `It is a copy of the job ${header.job}, under another name.`;
        aside.push({ job, because: 'broken', message });
        continue;
      }
      if (this.#asked.procedure !== undefined && header.procedure !== this.#asked.procedure) continue;
      if (facts.length === 0) {
        aside.push({ job, because: 'empty', message: 'It has no fact.' });
        continue;
      }
      const judge = this.#judges.for(header);
      if ('because' in judge) {
        aside.push({ job, ...judge });
        continue;
      }
      const key = `${header.pack.digest} ${header.procedure} ${header.variant}`;
      const counting = from.get(key) ?? new Counting(header, judge);
      const found = this.#outcomes(judge, facts);
      if (typeof found === 'string') {
        aside.push({ job, because: 'does-not-fit', message: found });
        continue;
      }
      from.set(key, counting);
      jobs += 1;
      counting.add(found);
      for (const one of found) {
        const row = rowOf(header, judge, one);
        if (row !== undefined) rows.push(row);
      }
    }
    return {
      jobs,
      from: Object.fromEntries([...from].map(([key, one]) => [key, one.result()])),
      rows,
      aside,
    };
  }

  #outcomes(judge: Judge, facts: Parameters<typeof eachOutcome>[1]): readonly Found[] | string {
    const found: Found[] = [];
    try {
      eachOutcome(judge, facts, this.#asked, this.#workedOut, (measure, becomes, seq) =>
        found.push({ measure, becomes, seq }),
      );
      return found;
    } catch (error) {
      if (error instanceof RangeError) return `${error.message}.`;
      throw error;
    }
  }
}

/** What became of a measure in one job, and the fact of the verdict then. */
interface Found {
  readonly measure: number;
  readonly becomes: Becomes;
  readonly seq: number | undefined;
}

class Counting {
  readonly #header: JobHeader;
  readonly #judge: Judge;
  /** By each measure, what verdicts became: most jobs come to what another one has come to. */
  readonly #counts: Map<Becomes, number>[];
  #jobs = 0;

  constructor(header: JobHeader, judge: Judge) {
    this.#header = header;
    this.#judge = judge;
    this.#counts = judge.measures.map(() => new Map());
  }

  add(found: readonly Found[]): void {
    this.#jobs += 1;
    for (const { measure, becomes } of found) {
      const counts = this.#counts[measure];
      counts?.set(becomes, (counts.get(becomes) ?? 0) + 1);
    }
  }

  result(): PartFrom {
    const { pack, overlay, procedure, variant } = this.#header;
    const measures = new Map<string, { head: HeadOf; counts: (readonly [Becomes, number])[] }>();
    for (const [index, counts] of this.#counts.entries()) {
      const measure = this.#judge.measures[index];
      if (measure === undefined || counts.size === 0) continue;
      const name = withoutPlace(measure.name);
      const found = measures.get(name) ?? { head: headOf(this.#judge, measure), counts: [] };
      found.counts.push(...counts);
      measures.set(name, found);
    }
    const scales = scalesOf(this.#judge);
    const part = (name: string, head: HeadOf, counts: readonly (readonly [Becomes, number])[]): PartTally => {
      const tally: Record<string, number> = {};
      for (const [becomes, count] of counts) {
        const what = tallied(becomes);
        tally[what] = (tally[what] ?? 0) + count;
      }
      const scale = scales.get(name);
      const counted = scale && countValues(scale, counts);
      return { ...head, tally, ...(counted === undefined ? {} : { counted }) };
    };
    return {
      ...{ revision: pack.revision, digest: pack.digest, procedure, variant, jobs: this.#jobs },
      ...(overlay === undefined ? {} : { overlay: `${overlay.id} ${overlay.revision}` }),
      measures: Object.fromEntries(
        [...measures].map(([name, { head, counts }]) => [name, part(name, head, counts)]),
      ),
    };
  }
}

/** Two parts of what came of a measure as one. */
export function togetherOfMeasure(a: PartTally, b: PartTally): PartTally {
  const { counted: one, ...head } = a;
  const { counted: other } = b;
  const counted = one !== undefined && other !== undefined ? togetherCounted(one, other) : (one ?? other);
  return { ...head, tally: addTallies(a.tally, b.tally), ...(counted === undefined ? {} : { counted }) };
}

type HeadOf = Omit<PartTally, 'tally' | 'counted'>;

const headOf = (judge: Judge, measure: Measure): HeadOf => ({
  title: measure.title,
  ...(measure.limitsThen === undefined ? {} : { limitsThen: measure.limitsThen }),
  ...(measure.limitsNow === undefined ? {} : { limitsNow: measure.limitsNow }),
  changes: changesOf(judge, measure),
});

const changesOf = (judge: Judge, { because }: Measure): readonly RowChange[] =>
  because.flatMap((index) => {
    const one = judge.changes[index];
    return one === undefined
      ? []
      : [{ change: one.change, pointer: one.after?.pointer ?? one.before?.pointer ?? '' }];
  });

/** What holds of every job of a revision is counted and makes no row. */
const countedOnly: ReadonlySet<CannotReason> = new Set<CannotReason>(['no-such-reading', 'not-taken']);

function rowOf(
  header: JobHeader,
  judge: Judge,
  { measure: index, becomes: one, seq }: Found,
): Row | undefined {
  const measure = judge.measures[index];
  if (measure === undefined) return undefined;
  if (one.outcome === 'untouched' || one.outcome === 'same' || one.outcome === 'gone') return undefined;
  if (one.outcome === 'added' && one.is.verdict === 'conforming') return undefined;
  if (one.outcome === 'cannot' && countedOnly.has(one.because)) return undefined;
  const { job, pack, procedure, variant } = header;
  return {
    ...{ job, revision: pack.revision, procedure, variant, of: measure.name, outcome: one.outcome },
    ...(seq === undefined ? {} : { seq }),
    ...('was' in one && one.was !== undefined ? { was: inRow(one.was) } : {}),
    ...('is' in one ? { is: inRow(one.is) } : {}),
    changes: changesOf(judge, measure),
    ...(one.outcome === 'cannot'
      ? { cannot: one.because, ...(one.names.length === 0 ? {} : { readings: one.names }) }
      : {}),
  };
}

const inRow = (verdict: WrittenVerdict): RowVerdict => ({
  verdict: verdict.verdict,
  ...(verdict.value === undefined ? {} : { value: verdict.value }),
  ...(verdict.limits === undefined ? {} : { limits: verdict.limits }),
  ...('because' in verdict && verdict.because !== undefined ? { because: verdict.because } : {}),
});
