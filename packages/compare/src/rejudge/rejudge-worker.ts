import { parentPort, workerData } from 'node:worker_threads';
import { writeChunk } from './progress-file.ts';
import { type Asked, Rejudging } from './rejudge-chunk.ts';

const given: { readonly rejudge?: Asked } | undefined = workerData ?? undefined;

// A thread that is handed names of jobs and hands back what came of them. Imported by anything else it does nothing.
if (parentPort !== null && given?.rejudge !== undefined) {
  const port = parentPort;
  const rejudging = new Rejudging(given.rejudge);
  port.on('message', ({ index, names }: { readonly index: number; readonly names: readonly string[] }) => {
    // Written here: the thread that puts all together has no time to lose.
    port.postMessage({ index, written: writeChunk(rejudging.chunk(names)) });
  });
}
