import { join } from 'node:path';
import { compareBehaviour } from '@ferrule/compare/behaviour';
import type { ComparedBehaviour } from '@ferrule/compare/document';
import { type AskedReadings, type ReadingsOfStore, readingsOfStore } from '@ferrule/compare/readings';
import type { Pack } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { readBundle } from '@ferrule/source';
import { type RejudgedAnswer, type RejudgeWork, rejudgeInto } from './rejudge-into.ts';

/** What takes long, and so is not done where requests are answered; packs are bundles, as texts. */
export interface LongWork {
  readonly rejudge: RejudgeWork;
  readonly behaviour: { readonly before: string; readonly after: string };
  readonly readings: AskedReadings;
}

/** What each comes to. */
export interface LongAnswer {
  readonly rejudge: RejudgedAnswer;
  readonly behaviour: ComparedBehaviour;
  readonly readings: ReadingsOfStore;
}

export type WorkName = keyof LongWork;

/** How far it has come: how many of how many; `takenOver` were done before. */
export interface WorkProgress {
  readonly total: number;
  readonly done: number;
  readonly takenOver: number;
}

type Doing = {
  readonly [Name in WorkName]: (
    work: LongWork[Name],
    onProgress: (progress: WorkProgress) => void,
  ) => Promise<LongAnswer[Name]>;
};

const doing: Doing = {
  rejudge: rejudgeInto,
  behaviour: async ({ before, after }) => compareBehaviour(packOf(before), packOf(after)),
  readings: async (asked) => withoutFolder(readingsOfStore(asked), asked.store),
};

/** Does one piece of long work. Throws what the file system throws. */
export const doWork = <Name extends WorkName>(
  name: Name,
  work: LongWork[Name],
  onProgress: (progress: WorkProgress) => void,
): Promise<LongAnswer[Name]> => doing[name](work, onProgress);

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
