import type { JobStore } from '@ferrule/records';
import type { Desk } from './jobs/desk.ts';
import type { Streams } from './jobs/streams.ts';
import type { Shelf } from './packs/shelf.ts';

/** What the routes work with. */
export interface Context {
  readonly store: JobStore;
  readonly desk: Desk;
  readonly shelf: Shelf;
  readonly now: () => Date;
  /** Where a folder is, from the folder of the store. */
  readonly pathTo: (folder: string) => string;
  /** The streams that are open. */
  readonly streams: Streams;
}
