import { parentPort, workerData } from 'node:worker_threads';
import { doWork, type LongWork, type WorkName } from './do-work.ts';
import type { FromThread } from './long-worker.ts';

const given: { readonly name?: WorkName; readonly work?: LongWork[WorkName] } | undefined =
  workerData?.longWork ?? undefined;

// A thread that does one piece of long work and says how far it has come. Imported by anything else it does nothing.
if (parentPort !== null && given?.name !== undefined && given.work !== undefined) {
  const port = parentPort;
  const say = (message: FromThread): void => port.postMessage(message);
  doWork(given.name, given.work, (progress) => say({ progress })).then(
    (answer) => say({ answer }),
    (error: unknown) => say({ failure: failureOf(error) }),
  );
}

/** What is lost when an error is handed to another thread is taken along. */
const failureOf = (error: unknown): { readonly message: string; readonly code?: string } => ({
  message: error instanceof Error ? (error.stack ?? error.message) : String(error),
  ...(error instanceof Error && 'code' in error ? { code: String(error.code) } : {}),
});
