import { join } from 'node:path';
import { compareBehaviour } from '@ferrule/compare/behaviour';
import { type ReadingsOfStore, readingsOfStore } from '@ferrule/compare/readings';
import type { Pack } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { readBundle } from '@ferrule/source';
import { Examination } from '../examine/examine.ts';
import type { FromWorker, Handed, LongAnswer, LongWork, OnProgress, WorkName } from './long-work.ts';
import { rejudgeInto } from './rejudge-into.ts';

type Doing = {
  readonly [Name in WorkName]: (work: LongWork[Name], onProgress: OnProgress) => Promise<LongAnswer[Name]>;
};

/**
 * Makes what does long work and tells how far it has come and what came of it. It keeps what a further piece of the same kind is
 * done sooner with.
 */
export function makeDoWork(tell: (said: FromWorker) => void): (piece: Handed) => Promise<void> {
  const examination = new Examination();
  const doing: Doing = {
    check: (asked, onProgress) => examination.check(asked, onProgress),
    trials: (asked, onProgress) => examination.trials(asked, onProgress),
    behaviour: async ({ before, after }, onProgress) =>
      compareBehaviour(packOf(before), packOf(after), { onProgress: (what) => onProgress(what, 0, 0) }),
    readings: async (asked, onProgress) => {
      const found = readingsOfStore(asked, ({ done, total }) => onProgress('reading jobs', done, total));
      return withoutFolder(found, asked.store);
    },
    rejudge: (work, onProgress) =>
      rejudgeInto(work, ({ done, total }) => onProgress('judging jobs again', done, total)),
  };
  const doIt = <Name extends WorkName>({ name, work }: Handed<Name>): Promise<LongAnswer[Name]> =>
    doing[name](work, (what, done, of) => tell({ says: 'working', working: { doing: what, done, of } }));
  return (piece) =>
    doIt(piece).then(
      (answer) => tell({ says: 'done', answer }),
      (error: unknown) => tell({ says: 'failed', ...failureOf(error) }),
    );
}

/** What is lost when an error is handed to another thread is taken along. */
const failureOf = (error: unknown): { readonly message: string; readonly code?: string } => ({
  message: error instanceof Error ? (error.stack ?? error.message) : String(error),
  ...(error instanceof Error && 'code' in error ? { code: String(error.code) } : {}),
});

/** Where the store is on the machine of the server is nobody's business. */
function withoutFolder(found: ReadingsOfStore, folder: string): ReadingsOfStore {
  if ('nothing' in found) return found;
  const faults = found.document.faults.map(({ job, message }) => ({
    job,
    message: message.replaceAll(join(folder, '/'), ''),
  }));
  return { document: { ...found.document, store: 'this server', faults } };
}

function packOf(bundle: string): Pack {
  const { document } = readBundle(bundle);
  const pack = document === undefined ? undefined : validate(document).pack;
  if (pack === undefined) throw new RangeError('a pack that was opened cannot be read from its bundle');
  return pack;
}
