import type { Fact, Pack } from '@ferrule/engine';
import { del, get, keys, set } from 'idb-keyval';
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
  queue: (job: string): Promise<readonly Asked[]> =>
    read<readonly Asked[]>(`queue ${job}`).then((all) => all ?? []),
  keepQueue: (job: string, queue: readonly Asked[]): Promise<boolean> =>
    queue.length === 0 ? drop(`queue ${job}`) : write(`queue ${job}`, queue),
  job: (job: string): Promise<KeptJob | undefined> => read<KeptJob>(`job ${job}`),
  keepJob: (job: string, seen: KeptJob): Promise<boolean> => write(`job ${job}`, seen),
  /** Every job that this device has seen, the latest first. */
  jobs: async (): Promise<readonly KeptJob[]> => {
    const names = await keys<string>().catch(() => []);
    const seen = await Promise.all(
      names.filter((name) => name.startsWith('job ')).map((name) => read<KeptJob>(name)),
    );
    const last = ({ facts }: KeptJob): number => Date.parse(facts.at(-1)?.at ?? '');
    return seen.filter((one) => one !== undefined).sort((a, b) => last(b) - last(a));
  },
  pack: (digest: string): Promise<Pack | undefined> => read<Pack>(`pack ${digest}`),
  keepPack: (digest: string, pack: Pack): Promise<boolean> => write(`pack ${digest}`, pack),
};

const read = <T>(key: string): Promise<T | undefined> => get<T>(key).catch(() => undefined);

const write = (key: string, value: unknown): Promise<boolean> =>
  set(key, value).then(
    () => true,
    () => false,
  );

const drop = (key: string): Promise<boolean> =>
  del(key).then(
    () => true,
    () => false,
  );
