import { closeSync, type Dir, existsSync, opendirSync, openSync, readSync, realpathSync } from 'node:fs';
import { dirname, join } from 'node:path';

const manifests = [
  ['pack.yaml', 'a pack'],
  ['library.yaml', 'a library'],
  ['overlay.yaml', 'an overlay'],
] as const;

/** How many names of a folder are looked at, and files opened, to see whether it is a store of jobs: most of one is jobs. */
const MOST_NAMES = 1000;
const MOST_LOOKED_INTO = 8;

function isJobFile(path: string): boolean {
  let handle: number | undefined;
  try {
    handle = openSync(path, 'r');
    const start = Buffer.alloc(4096);
    return start.toString('utf8', 0, readSync(handle, start, 0, start.length, 0)).includes('"ferrule-job-');
  } catch {
    return false;
  } finally {
    if (handle !== undefined) closeSync(handle);
  }
}

/** What a folder is, where that is something whose files are copied, sent and shown to others. */
function isHandedOn(folder: string): string | undefined {
  for (const [name, what] of manifests) if (existsSync(join(folder, name))) return what;
  let jobs = 0;
  let listing: Dir | undefined;
  try {
    listing = opendirSync(folder);
    for (let names = 0; names < MOST_NAMES && jobs < MOST_LOOKED_INTO; names++) {
      const name = listing.readSync()?.name;
      if (name === undefined) return undefined;
      if (!name.endsWith('.jsonl')) continue;
      if (isJobFile(join(folder, name))) return 'a store of jobs';
      jobs++;
    }
  } catch {
    // A folder that cannot be listed tells nothing.
  } finally {
    listing?.closeSync();
  }
  return undefined;
}

/**
 * Why a private key may not lie at this path: its folder, or one around it, is a pack, a library, an overlay or a store of
 * jobs, all of which are copied and sent to others. Links are followed. Undefined where none is.
 */
export function forbiddenPlace(path: string): string | undefined {
  for (const start of new Set([dirname(path), realFolderOf(path)])) {
    for (let folder = start; ; folder = dirname(folder)) {
      const what = isHandedOn(folder);
      if (what !== undefined) return `${folder} is ${what}, which is handed on to others`;
      if (dirname(folder) === folder) break;
    }
  }
  return undefined;
}

/** The folder in which a file really lies, or would. */
function realFolderOf(path: string): string {
  try {
    return dirname(realpathSync(path));
  } catch {
    try {
      return realpathSync(dirname(path));
    } catch {
      return dirname(path);
    }
  }
}
