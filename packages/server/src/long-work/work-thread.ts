import { parentPort, workerData } from 'node:worker_threads';
import { makeDoWork } from './do-work.ts';

const given: { readonly doesLongWork?: true } | undefined = workerData ?? undefined;

// A thread that is handed long work, one piece after the other. Imported by anything else it does nothing.
if (parentPort !== null && given?.doesLongWork === true) {
  const port = parentPort;
  port.on(
    'message',
    makeDoWork((said) => port.postMessage(said)),
  );
}
