import type { Fact, Pack } from '@ferrule/engine';
import { get, keys, set, update } from 'idb-keyval';
import type { Asked, JobDocument } from '../link/documents.ts';

/** A job as this device last saw it, so that it can be gone on with where the server is not reached. */
export interface KeptJob {
  readonly document: JobDocument;
  readonly facts: readonly Fact[];
}

/**
 * What this device keeps: commands that are not stored yet, and what it takes to show the job meanwhile. A browser that lets
 * nothing be kept (a private window, a full disk) answers with nothing; `canKeep` says so, and the page tells it.
 */
export const kept = {
  queue: (job: string): Promise<readonly Asked[]> => read(queueOf(job)).then(queueIn),
  /**
   * Keeps what a page waits with, in its order. What another page of this device waits with on the same job stays before it;
   * `settled` are the ids of those that wait no longer.
   */
  keepQueue: (job: string, queue: readonly Asked[], settled: ReadonlySet<string>): Promise<boolean> => {
    const own = new Set(queue.map(({ id }) => id));
    return done(() =>
      update<unknown>(queueOf(job), (before) => [
        ...queueIn(before).filter(({ id }) => !own.has(id) && !settled.has(id)),
        ...queue,
      ]),
    );
  },
  /** The jobs in which something waits, each with how much. */
  waiting: async (): Promise<readonly { readonly job: string; readonly count: number }[]> => {
    const names = (await keptNames()).filter((name) => name.startsWith(QUEUE));
    const queues = await Promise.all(names.map((name) => read(name).then(queueIn)));
    return names.flatMap((name, at) => {
      const count = queues[at]?.length ?? 0;
      return count === 0 ? [] : [{ job: name.slice(QUEUE.length), count }];
    });
  },
  job: (job: string): Promise<KeptJob | undefined> => read<KeptJob>(`job ${job}`),
  keepJob: (job: string, seen: KeptJob): Promise<boolean> => done(() => set(`job ${job}`, seen)),
  /** Every job that this device has seen, the latest first. */
  jobs: async (): Promise<readonly KeptJob[]> => {
    const names = await keptNames();
    const seen = await Promise.all(
      names.filter((name) => name.startsWith('job ')).map((name) => read<KeptJob>(name)),
    );
    const last = ({ facts }: KeptJob): number => Date.parse(facts.at(-1)?.at ?? '');
    return seen.filter((one) => one !== undefined).sort((a, b) => last(b) - last(a));
  },
  pack: (digest: string): Promise<Pack | undefined> => read<Pack>(`pack ${digest}`),
  keepPack: (digest: string, pack: Pack): Promise<boolean> => done(() => set(`pack ${digest}`, pack)),
};

const QUEUE = 'queue ';
const queueOf = (job: string): string => `${QUEUE}${job}`;

/** What was kept as a queue; what does not look like one is left aside. */
const queueIn = (value: unknown): readonly Asked[] => (Array.isArray(value) ? value.filter(isAsked) : []);

function isAsked(value: unknown): value is Asked {
  if (typeof value !== 'object' || value === null) return false;
  const { id, expectedSeq, by, command } = value as Readonly<Record<string, unknown>>;
  return (
    typeof id === 'string' &&
    typeof expectedSeq === 'number' &&
    typeof by === 'string' &&
    typeof command === 'object' &&
    command !== null
  );
}

/** A browser that does not answer within this time keeps nothing, in milliseconds. */
const PATIENCE = 3000;

/** What came of it, or `otherwise` where it throws, fails, or does not end. */
async function within<T>(asked: () => Promise<T>, otherwise: T): Promise<T> {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const tooLate = new Promise<T>((resolve) => {
    timer = setTimeout(() => resolve(otherwise), PATIENCE);
  });
  // Where nothing may be kept the browser throws before it promises anything.
  const came = (async () => asked())().catch(() => otherwise);
  const first = await Promise.race([came, tooLate]);
  clearTimeout(timer);
  return first;
}

const read = <T>(key: string): Promise<T | undefined> => within(() => get<T>(key), undefined);

const done = (asked: () => Promise<unknown>): Promise<boolean> =>
  within(() => asked().then(() => true), false);

const keptNames = (): Promise<readonly string[]> => within(() => keys<string>(), []);
