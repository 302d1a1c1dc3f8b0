import { type ReleaseRecord, releaseRecord, releaseWords, unsigned } from '@ferrule/signing';
import type { Runnable } from './runnable.ts';

const statesOf = ({ opened: { reading }, overlay }: Runnable) =>
  [
    reading.release ?? unsigned,
    overlay === undefined ? undefined : (reading.overlayRelease ?? unsigned),
  ] as const;

/** How the pack of a job is released, and its overlay, in words. */
export const releaseWordsOf = (runnable: Runnable): string => releaseWords(...statesOf(runnable));

/** What a job keeps of that when it begins; undefined where nothing is signed. */
export const releaseRecordOf = (runnable: Runnable): ReleaseRecord | undefined =>
  releaseRecord(...statesOf(runnable));
