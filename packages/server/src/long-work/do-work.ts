import { join } from 'node:path';
import { compareBehaviour } from '@ferrule/compare/behaviour';
import { type ReadingsOfStore, readingsOfStore } from '@ferrule/compare/readings';
import type { Pack } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { readBundle } from '@ferrule/source';
import { Examination } from '../examine/examine.ts';
import type { FromWorker, Handed, LongAnswer, LongWork, WorkName } from './long-work.ts';
import { rejudgeInto } from './rejudge-into.ts';
import type { OnProgress } from './working.ts';

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
      compareBehaviour(packOf(before), packOf(after), {
        onProgress: (doing) => onProgress({ doing, done: 0, of: 0 }),
      }),
    readings: async (asked, onProgress) => {
      const progress = counting('reading jobs', onProgress);
      return withoutFolder(readingsOfStore(asked, progress), asked.store);
    },
    rejudge: (work, onProgress) => rejudgeInto(work, counting('judging jobs again', onProgress)),
  };
  const doIt = <Name extends WorkName>({ name, work }: Handed<Name>): Promise<LongAnswer[Name]> =>
    doing[name](work, (working) => tell({ says: 'working', working }));
  return (piece) =>
    doIt(piece).then(
      (answer) => tell({ says: 'done', answer }),
      (error: unknown) => tell({ says: 'failed', ...failureOf(error) }),
    );
}

const counting =
  (doing: string, onProgress: OnProgress) =>
  ({ done, total }: { readonly done: number; readonly total: number }): void =>
    onProgress({ doing, done, of: total });

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
