import { readFileSync, statSync } from 'node:fs';
import { basename } from 'node:path';
import type { Photograph } from '@ferrule/engine';
import { digestOf, fileTrouble } from '@ferrule/signing';

const MOST_MEGABYTES = 20;

/** A picture as it is recorded, by its digest and name, and its content for the store. Says what is wrong with the path instead. */
export function photographIn(
  typed: string,
): { readonly photograph: Photograph; readonly bytes: Uint8Array } | { readonly wrong: string } {
  const path = typed.trim().replace(/^(["'])(.*)\1$/, '$2');
  try {
    const about = statSync(path);
    if (!about.isFile()) return { wrong: `${path} is no file. Nothing was recorded.` };
    if (about.size > MOST_MEGABYTES * 1_000_000)
      return {
        wrong: `The picture ${path} has more than ${MOST_MEGABYTES} MB. Nothing was recorded. Make it smaller, or take another one.`,
      };
    const bytes = readFileSync(path);
    return { photograph: { digest: digestOf(bytes), name: basename(path) }, bytes };
  } catch (error) {
    const { code, says, fix = 'Name another one' } = fileTrouble('read', error);
    return {
      wrong:
        code === 'ENOENT'
          ? `There is no file ${path}. Nothing was recorded. Type the path from where Ferrule was started.`
          : `The picture ${path} cannot be read (${code}). Nothing was recorded. ${says} ${fix}.`,
    };
  }
}
