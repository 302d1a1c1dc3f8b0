import type { InstrumentList } from '@ferrule/check';
import type { Job, Plan } from '@ferrule/engine';
import type { ReleaseRecord } from '@ferrule/signing';
import type { OpenedPack } from '../pack/open-pack.ts';
import type { Format } from '../terminal/format-option.ts';
import type { Keep } from './keep.ts';

/** How `run` is called. */
export interface RunOptions {
  readonly format: Format;
  readonly procedure?: string;
  readonly variant?: string;
  readonly answers?: string;
  readonly jobs?: string;
  /** The file of the private key that the job is signed with when it is closed. */
  readonly key?: string;
  readonly job?: string;
  /** Of a script: what is judged, held and released is shown, and not each step. */
  readonly isBrief?: true;
  /** The file with the shop's list of instruments. */
  readonly instruments?: string;
  /** Folder of an overlay that is laid over the pack. */
  readonly overlay?: string;
  /** The file that says whose signatures count. */
  readonly policy?: string;
}

/** A plan that a job runs on, with the pack that it came from. */
export interface Runnable {
  readonly folder: string;
  /** Folder of the overlay that was laid over the pack. */
  readonly overlay?: string;
  /** A pack that a store has kept has no files, and so no reading of them. */
  readonly opened: Pick<OpenedPack, 'pack'> & Partial<OpenedPack>;
  readonly plan: Plan;
  readonly digest: string;
  /** The canonical text of the pack, which has this digest. */
  readonly bundle: string;
  /** How it was released; of a job that is taken up again, as it was when that began. */
  readonly release?: ReleaseRecord;
  readonly list?: InstrumentList;
}

/** A new job, which reads its pack from a folder. */
export type NewRunnable = Runnable & { readonly opened: OpenedPack };

/** A job that was kept and is taken up again. */
export interface TakenUp {
  readonly job: Job;
  readonly keep: Keep;
  readonly store: string;
}
