import { dirname, resolve } from 'node:path';
import type { Answers, Origin } from '@ferrule/engine';
import { callFault, type Faulty } from '../pack/open-pack.ts';
import { readOrigin } from './read-origin.ts';

/** What the records hand on that a file of answers names, each under its path as it is written there. */
export async function originsOf(
  answers: Answers,
  file: string,
  shelf: string,
): Promise<ReadonlyMap<string, Origin> | Faulty> {
  const origins = new Map<string, Origin>();
  for (const { job } of Object.values(answers.carried ?? {}).flat()) {
    if (job === undefined || origins.has(job)) continue;
    const read = await readOrigin(resolve(dirname(file), job), shelf);
    if (read.wrong !== undefined) return callFault(read.wrong);
    origins.set(job, read.origin);
  }
  return origins;
}
