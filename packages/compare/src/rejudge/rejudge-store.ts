import { existsSync, readdirSync, statSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import { folderStore, type KeptLock, keepLocked } from '@ferrule/records';
import { canonical, digestOf } from '@ferrule/signing';
import type { Aside } from './aside.ts';
import { ProgressFile, type WrittenChunk, writeChunk } from './progress-file.ts';
import {
  type Asked,
  type FromRevision,
  type PartFrom,
  Rejudging,
  type Row,
  togetherOfMeasure,
} from './rejudge-chunk.ts';
import { valuesInWords } from './value-spread.ts';

/** How far it has come. */
export interface RejudgeProgress {
  readonly total: number;
  /** Jobs that are done; among them those whose result an earlier run had left. */
  readonly done: number;
  readonly takenOver: number;
}

export interface RejudgeStoreOptions extends Asked {
  /** The file that keeps the results while they are being made. */
  readonly progressFile: string;
  /** How many threads; one for each core when it is not said, none for 0. */
  readonly threads?: number;
  readonly onProgress?: (progress: RejudgeProgress) => void;
}

/** What came of the jobs of a store. Rows are many: they are read from the disk as they are asked for. */
export interface RejudgedStore {
  /** Job files that were looked at. */
  readonly files: number;
  /** Jobs that were judged. */
  readonly jobs: number;
  readonly from: readonly FromRevision[];
  /** How many were left aside, by their reason. */
  readonly asideCounts: Readonly<Record<string, number>>;
  readonly rowCount: number;
  rows(): Generator<Row, void, undefined>;
  aside(): Generator<Aside, void, undefined>;
  close(): void;
}

/** Another run is writing into the same progress file. */
export class RejudgeBusy extends Error {
  constructor(progressFile: string) {
    super(`another run is writing into ${progressFile}`);
  }
}

/** Fewer jobs than these are done sooner than a thread has started. */
const FEW = 64;

/**
 * Judges the jobs of a store by another revision, in the order of their names, some at a time on every core. What is done
 * is kept in the progress file; a run that was cut off goes on from there, and comes to the same. Job files that have grown
 * or were put back meanwhile are judged anew. Memory does not grow with the number of jobs. Throws what the file system throws for the
 * progress file, a RangeError for a revision that cannot be read, and RejudgeBusy while another run has the progress file; it is
 * free again when the result is closed.
 */
export async function rejudgeStore(options: RejudgeStoreOptions): Promise<RejudgedStore> {
  const lock = keepLocked(options.progressFile);
  if (lock === undefined) throw new RejudgeBusy(options.progressFile);
  try {
    return await rejudgeLocked(options, lock);
  } catch (fault) {
    lock.release();
    throw fault;
  }
}

async function rejudgeLocked(options: RejudgeStoreOptions, lock: KeptLock): Promise<RejudgedStore> {
  const { store, revision, all, procedure, progressFile, onProgress } = options;
  const asked: Asked = { store, revision, all, ...(procedure === undefined ? {} : { procedure }) };
  const names = [...folderStore(store).names()].sort();
  const size = Math.max(8, Math.min(128, Math.ceil(names.length / FEW)));
  const chunks = Math.ceil(names.length / size);
  const namesOf = (index: number): readonly string[] => names.slice(index * size, (index + 1) * size);
  const progress = new ProgressFile(progressFile, digestOf(canonical({ ...asked, store: '' })));
  const keys: string[] = [];
  const counts = { total: names.length, done: 0, takenOver: 0 };
  const open: number[] = [];
  for (let index = 0; index < chunks; index++) {
    const some = namesOf(index);
    const key = digestOf(canonical(some.map((name) => [name, ...stamp(store, name)])));
    keys.push(key);
    if (progress.has(key)) counts.takenOver += some.length;
    else open.push(index);
  }
  counts.done = counts.takenOver;
  onProgress?.({ ...counts });
  const keep = (index: number, written: WrittenChunk): void => {
    progress.add(keys[index] ?? '', written);
    lock.renew();
    counts.done += namesOf(index).length;
    onProgress?.({ ...counts });
  };
  const threads = options.threads ?? (open.length * size <= FEW ? 0 : availableParallelism());
  const worker = workerFile();
  if (threads === 0 || worker === undefined) {
    const rejudging = new Rejudging(asked);
    for (const index of open) keep(index, writeChunk(rejudging.chunk(namesOf(index))));
  } else await onThreads(worker, Math.min(threads, open.length), asked, open, namesOf, keep);
  const done = gather(progress, keys, strangers(store));
  return {
    ...done,
    close: () => {
      done.close();
      lock.release();
    },
  };
}

/** By what it is seen that a file is another one than before. */
function stamp(store: string, name: string): readonly [number, number] {
  try {
    const found = statSync(join(store, `${name}.jsonl`));
    return [found.size, found.mtimeMs];
  } catch {
    return [-1, 0];
  }
}

/** Files that look like jobs and are not named as one. */
const strangers = (store: string): readonly Aside[] => {
  const known = new Set(folderStore(store).names());
  return readdirSync(store)
    .filter((name) => name.endsWith('.jsonl') && !known.has(name.slice(0, -'.jsonl'.length)))
    .sort()
    .map((job) => ({
      job,
      because: 'no-job',
      message: 'A job file has small letters, digits and hyphens in its name.',
    }));
};

/** The thread beside the bundle; sources that run as they are have none. */
function workerFile(): string | undefined {
  const file = fileURLToPath(new URL('./rejudge-worker.js', import.meta.url));
  return existsSync(file) ? file : undefined;
}

/** More than a thread needs for any pack; without a bound it would leave its garbage for long. */
const THREAD_MEGABYTES = 96;

async function onThreads(
  file: string,
  threads: number,
  asked: Asked,
  open: readonly number[],
  namesOf: (index: number) => readonly string[],
  keep: (index: number, written: WrittenChunk) => void,
): Promise<void> {
  let next = 0;
  const workers: Worker[] = [];
  try {
    await Promise.all(
      Array.from(
        { length: threads },
        () =>
          new Promise<void>((resolve, reject) => {
            const worker = new Worker(file, {
              workerData: { rejudge: asked },
              resourceLimits: { maxOldGenerationSizeMb: THREAD_MEGABYTES },
            });
            workers.push(worker);
            const hand = (): void => {
              const index = open[next];
              next += 1;
              if (index === undefined) resolve();
              else worker.postMessage({ index, names: namesOf(index) });
            };
            worker.on('error', reject);
            worker.on('message', (done: { readonly index: number; readonly written: WrittenChunk }) => {
              try {
                keep(done.index, done.written);
                hand();
              } catch (error) {
                reject(error);
              }
            });
            hand();
          }),
      ),
    );
  } finally {
    await Promise.all(workers.map((one) => one.terminate()));
  }
}

/** Puts the results together in the order of the jobs. */
function gather(progress: ProgressFile, keys: readonly string[], strange: readonly Aside[]): RejudgedStore {
  const from = new Map<string, PartFrom>();
  const asideCounts: Record<string, number> = {};
  let [jobs, rowCount, aside] = [0, 0, 0];
  const count = ({ because }: Aside): void => {
    asideCounts[because] = (asideCounts[because] ?? 0) + 1;
    aside += 1;
  };
  strange.forEach(count);
  for (const key of keys) {
    const result = progress.counts(key);
    jobs += result.jobs;
    rowCount += result.rowCount;
    result.aside.forEach(count);
    for (const [name, one] of Object.entries(result.from)) {
      const known = from.get(name);
      from.set(name, known === undefined ? one : together(known, one));
    }
  }
  return {
    ...{ jobs, rowCount, asideCounts },
    files: jobs + aside,
    from: [...from.values()].map(inWords).sort((a, b) => compareTexts(orderOf(a), orderOf(b))),
    *rows() {
      for (const key of keys) yield* progress.rows(key);
    },
    *aside() {
      yield* strange;
      for (const key of keys) yield* progress.counts(key).aside;
    },
    close: () => progress.close(),
  };
}

const inWords = ({ measures, ...from }: PartFrom): FromRevision => ({
  ...from,
  measures: Object.fromEntries(
    Object.entries(measures).map(([name, { counted, ...one }]) => {
      const spread = counted && valuesInWords(counted);
      return [name, { ...one, ...(spread === undefined ? {} : { spread }) }];
    }),
  ),
});

const orderOf = ({ revision, procedure, variant, digest }: FromRevision): string =>
  [revision, procedure, variant, digest].join(' ');
const compareTexts = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

function together(a: PartFrom, b: PartFrom): PartFrom {
  const measures = { ...a.measures };
  for (const [name, one] of Object.entries(b.measures)) {
    const known = measures[name];
    measures[name] = known === undefined ? one : togetherOfMeasure(known, one);
  }
  return { ...a, jobs: a.jobs + b.jobs, measures };
}
