import type { JobStore } from '@ferrule/records';

/** How long the same line is not said again, in milliseconds: a client that tries again and again must not fill a log. */
const AGAIN = 60_000;

/**
 * A store that says in a line why it could not be written, for whoever runs the server: a client is not told, since the reason
 * names files of this machine.
 */
export function notedStore(store: JobStore, onNote: (line: string) => void): JobStore {
  const said = { line: '', at: 0 };
  const note = (line: string): void => {
    const now = performance.now();
    if (line === said.line && now - said.at < AGAIN) return;
    said.line = line;
    said.at = now;
    onNote(line);
  };
  const told = <Done extends { readonly refused?: string | undefined }>(done: Done): Done => {
    if (done.refused === 'not-written' && 'message' in done) note(String(done.message));
    return done;
  };
  return {
    ...store,
    gone: () => {
      const gone = store.gone();
      if (gone !== undefined) note(gone);
      return gone;
    },
    create: (...given) => told(store.create(...given)),
    append: (...given) => told(store.append(...given)),
    putPhotograph: (...given) => told(store.putPhotograph(...given)),
    importJob: (...given) => told(store.importJob(...given)),
    sign: (job, ...given) => {
      const done = store.sign(job, ...given);
      if (done.refused !== undefined) note(`The record of ${job} is not signed. ${done.message}`);
      return done;
    },
  };
}
