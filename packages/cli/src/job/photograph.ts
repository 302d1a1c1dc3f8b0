import { createHash } from 'node:crypto';
import { readFileSync, statSync } from 'node:fs';
import { basename } from 'node:path';

const MOST_MEGABYTES = 20;

/** The picture is kept where it is; its digest goes into the record. Says what is wrong with the path instead. */
export function photographIn(
  typed: string,
): { readonly digest: string; readonly name: string } | { readonly wrong: string } {
  const path = typed.trim().replace(/^(["'])(.*)\1$/, '$2');
  try {
    const about = statSync(path);
    if (!about.isFile()) return { wrong: `${path} is no file. Nothing was recorded.` };
    if (about.size > MOST_MEGABYTES * 1_000_000)
      return {
        wrong: `The picture ${path} has more than ${MOST_MEGABYTES} MB. Nothing was recorded. Make it smaller, or take another one.`,
      };
    const digest = createHash('sha256').update(readFileSync(path)).digest('hex');
    return { digest: `sha256:${digest}`, name: basename(path) };
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    return {
      wrong:
        code === 'ENOENT'
          ? `There is no file ${path}. Nothing was recorded. Type the path from where Ferrule was started.`
          : `The picture ${path} cannot be read (${code}). Nothing was recorded.`,
    };
  }
}
