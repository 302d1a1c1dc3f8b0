import type { JobStore } from '@ferrule/records';
import type { PrivateKey } from '@ferrule/signing';
import type { Examinations } from './examine/examinations.ts';
import type { Desk } from './jobs/desk.ts';
import type { Streams } from './jobs/streams.ts';
import type { Behaviours } from './long-work/behaviours.ts';
import type { WorkQueue } from './long-work/work-queue.ts';
import type { Shelf } from './packs/shelf.ts';
import type { Rejudgings } from './rejudgings/rejudgings.ts';

/** What the routes work with. */
export interface Context {
  readonly store: JobStore;
  readonly desk: Desk;
  readonly shelf: Shelf;
  readonly examinations: Examinations;
  readonly rejudgings: Rejudgings;
  readonly behaviours: Behaviours;
  /** Long work that somebody waits for. */
  readonly queue: WorkQueue;
  /** The folder of the store, where that is known. */
  readonly storeFolder: string | undefined;
  readonly now: () => Date;
  /** What closed jobs are signed with; undefined where they are not. */
  readonly key: PrivateKey | undefined;
  /** Where a folder is, from the folder of the store. */
  readonly pathTo: (folder: string) => string;
  /** The streams that are open. */
  readonly streams: Streams;
}
