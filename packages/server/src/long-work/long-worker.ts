import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import { problem } from '../problem.ts';
import { doWork, type LongAnswer, type LongWork, type WorkName, type WorkProgress } from './do-work.ts';

/** What a thread says, the last being an answer or a failure. */
export interface FromThread {
  readonly progress?: WorkProgress;
  readonly answer?: unknown;
  readonly failure?: { readonly message: string; readonly code?: string };
}

/** A piece of work under way. */
export interface UnderWay<Answer> {
  /** Rejects with what the work has thrown, with the code of the file system where it has one; with a problem after a stop. */
  readonly answer: Promise<Answer>;
  stop(): Promise<void>;
}

/** More than a proof that is let go through needs, and much more than jobs that are read one by one. */
const MOST_MEGABYTES = 1024;

/** Begins a piece of long work on a thread of its own, beside the one that answers requests. */
export function beginWork<Name extends WorkName>(
  name: Name,
  work: LongWork[Name],
  onProgress: (progress: WorkProgress) => void,
): UnderWay<LongAnswer[Name]> {
  const file = fileURLToPath(new URL('./work-thread.js', import.meta.url));
  if (!existsSync(file)) return inThisThread(name, work, onProgress);
  const worker = new Worker(file, {
    workerData: { longWork: { name, work } },
    resourceLimits: { maxOldGenerationSizeMb: MOST_MEGABYTES },
  });
  const answer = new Promise<LongAnswer[Name]>((resolve, reject) => {
    worker.on('message', ({ progress, answer, failure }: FromThread) => {
      if (progress !== undefined) onProgress(progress);
      else if (failure === undefined) resolve(answer as LongAnswer[Name]);
      else reject(Object.assign(new Error(failure.message), { code: failure.code }));
    });
    worker.on('error', reject);
    worker.on('exit', () => reject(problem('stopping', 'What was under way was stopped.')));
  });
  // Whoever has stopped it need not wait for the answer.
  answer.catch(() => undefined);
  return { answer, stop: async () => void (await worker.terminate()) };
}

/** What has come in is answered before work begins that holds up everything, in milliseconds. */
const LATER = 100;

/** Sources that run as they are have no file for a thread: requests wait meanwhile, and what has begun cannot be stopped. */
function inThisThread<Name extends WorkName>(
  name: Name,
  work: LongWork[Name],
  onProgress: (progress: WorkProgress) => void,
): UnderWay<LongAnswer[Name]> {
  let isStopped = false;
  const answer = new Promise<void>((next) => setTimeout(next, LATER)).then(() => {
    if (isStopped) throw problem('stopping', 'What was under way was stopped.');
    return doWork(name, work, onProgress);
  });
  answer.catch(() => undefined);
  const stop = async (): Promise<void> => {
    isStopped = true;
  };
  return { answer, stop };
}
