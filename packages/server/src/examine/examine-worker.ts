import { parentPort, workerData } from 'node:worker_threads';
import { type Asked, Examination } from './examine.ts';
import type { FromThread } from './examiner.ts';

const given: { readonly examines?: true } | undefined = workerData ?? undefined;

// A thread that is handed packs and hands documents back. Imported by anything else it does nothing.
if (parentPort !== null && given?.examines === true) {
  const port = parentPort;
  const tell = (said: FromThread): void => port.postMessage(said);
  const examination = new Examination();
  port.on('message', (asked: Asked) => {
    examination
      .run(asked, (doing, done, of) => tell({ says: 'working', working: { doing, done, of } }))
      .then((document) => tell({ says: 'done', ...(document === undefined ? {} : { document }) }))
      .catch((error: unknown) =>
        tell({ says: 'failed', why: error instanceof Error ? error.stack : String(error) }),
      );
  });
}
