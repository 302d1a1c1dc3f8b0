import { type ReleaseRecord, releaseRecord, releaseWords, unsigned } from '@ferrule/signing';
import type { OpenedPack } from '../pack/open-pack.ts';
import type { Runnable } from './runnable.ts';

const statesOf = ({ pack, reading }: Runnable['opened']) =>
  [
    reading?.release ?? unsigned,
    pack.overlaid === undefined ? undefined : (reading?.overlayRelease ?? unsigned),
  ] as const;

/** How the pack of a job is released, and its overlay, in words: as its folder has it now, else as the job kept it. */
export const releaseWordsOf = ({ opened, release }: Runnable): string =>
  opened.reading?.release === undefined && release !== undefined
    ? releaseWords(release)
    : releaseWords(...statesOf(opened));

/** What a job keeps of that when it begins; undefined where nothing is signed. */
export const releaseRecordOf = (opened: OpenedPack): ReleaseRecord | undefined =>
  releaseRecord(...statesOf(opened));
