import type { JobStore } from '@ferrule/records';
import type { PrivateKey } from '@ferrule/signing';
import type { Examiner } from './examine/examiner.ts';
import type { Desk } from './jobs/desk.ts';
import type { Streams } from './jobs/streams.ts';
import type { Shelf } from './packs/shelf.ts';

/** What the routes work with. */
export interface Context {
  readonly store: JobStore;
  readonly desk: Desk;
  readonly shelf: Shelf;
  readonly examiner: Examiner;
  readonly now: () => Date;
  /** What closed jobs are signed with; undefined where they are not. */
  readonly key: PrivateKey | undefined;
  /** Where a folder is, from the folder of the store. */
  readonly pathTo: (folder: string) => string;
  /** The streams that are open. */
  readonly streams: Streams;
}
