import { rmSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { type RejudgedStore, type RejudgeProgress, rejudgeStore } from '@ferrule/compare/rejudge';
import { type RejudgedForm, type RejudgedHead, rejudgedPieces, reportOf } from '@ferrule/print/rejudged';
import { writePieces } from '@ferrule/records';

/** Jobs to be judged again, and the folder that the reports are written into. */
export interface RejudgeWork {
  readonly store: string;
  readonly folder: string;
  readonly bundle: string;
  /** The overlay of the shop, and the pack with it laid over. */
  readonly laid: readonly { readonly overlay: string; readonly bundle: string }[];
  readonly all: boolean;
  readonly procedure?: string;
  readonly head: RejudgedHead;
}

/** What there is to know first; the rest stands in the reports. */
export interface RejudgedAnswer {
  readonly says: readonly string[];
  readonly rowCount: number;
}

/** The file of a report in its folder. */
export const reportFile = (folder: string, form: RejudgedForm): string => join(folder, `rejudged.${form}`);

/** The file that keeps what is done until the reports are written. */
export const progressFileIn = (folder: string): string => join(folder, 'rejudged.progress.jsonl');

/**
 * Judges the jobs of a store again, and writes the report in each form into the folder. What is done is kept there until then,
 * so that work that was cut off goes on. One core is left to those who work at jobs. Throws what the file system throws.
 */
export async function rejudgeInto(
  { store, folder, bundle, laid, all, procedure, head }: RejudgeWork,
  onProgress: (progress: RejudgeProgress) => void,
): Promise<RejudgedAnswer> {
  const progressFile = progressFileIn(folder);
  const cores = availableParallelism() - 1;
  const done = await rejudgeStore({
    ...{ store, revision: { bundle, laid }, all, progressFile, onProgress },
    ...(procedure === undefined ? {} : { procedure }),
    threads: cores > 1 ? cores : 0,
  });
  try {
    const report = reportOf(head, done);
    for (const form of ['json', 'html', 'csv'] as const)
      writePieces(reportFile(folder, form), rejudgedPieces(form, report, withoutPaths(done, store)));
    return { says: report.says, rowCount: report.rowCount };
  } finally {
    done.close();
    rmSync(progressFile, { force: true });
  }
}

/** Where the store is on the machine of the server is nobody's business. */
const withoutPaths = (done: RejudgedStore, store: string): RejudgedStore => ({
  ...done,
  *aside() {
    for (const one of done.aside()) yield { ...one, message: one.message.replaceAll(join(store, '/'), '') };
  },
});
