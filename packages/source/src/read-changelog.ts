import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { limits } from './limits.ts';

/** What the changelog of a revision is called, beside its manifest. */
export const changelogFile = 'CHANGELOG.md';

/** What the changelog in the folder of a pack says; undefined where there is none, or one that is larger than any file of a pack may be. */
export function readChangelog(folder: string): string | undefined {
  try {
    const path = join(folder, changelogFile);
    return statSync(path).size > limits.fileBytes ? undefined : readFileSync(path, 'utf8');
  } catch {
    return undefined;
  }
}
