import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Worker as Thread } from 'node:worker_threads';
import { makeDoWork } from './do-work.ts';
import type { FromWorker, Handed } from './long-work.ts';

/** Does long work, one piece after the other. */
export interface Worker {
  hand(piece: Handed): void;
  /** Ends it, with whatever it was doing. Nothing is heard of it any more. */
  end(): Promise<void>;
}

/**
 * A worker on a thread of its own, which may take so many megabytes; or in this thread, where there is no file for another.
 * `died` is told why it has ended by itself, as it does where it runs out of memory.
 */
export function startWorker(
  megabytes: number,
  hear: (said: FromWorker) => void,
  died: (error: Error) => void,
): Worker {
  const file = fileURLToPath(new URL('./work-thread.js', import.meta.url));
  if (!existsSync(file)) return inThisThread(hear);
  const thread = new Thread(file, {
    workerData: { doesLongWork: true },
    resourceLimits: { maxOldGenerationSizeMb: megabytes },
  });
  thread.on('message', hear);
  thread.on('error', died);
  thread.on('exit', (code) => died(new Error(`a thread of long work ended by itself (${code})`)));
  thread.unref();
  return {
    hand: (piece) => thread.postMessage(piece),
    end: async () => {
      thread.removeAllListeners();
      await thread.terminate();
    },
  };
}

/** What has come in is answered before work begins that holds up everything, in milliseconds. */
const LATER = 100;

/** Sources that run as they are: requests wait meanwhile, and what has begun goes on unheard after an end. */
function inThisThread(hear: (said: FromWorker) => void): Worker {
  let isEnded = false;
  const doWork = makeDoWork((said) => {
    if (!isEnded) hear(said);
  });
  return {
    hand: (piece) => {
      setTimeout(() => {
        if (!isEnded) void doWork(piece);
      }, LATER);
    },
    end: async () => {
      isEnded = true;
    },
  };
}
