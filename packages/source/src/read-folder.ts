import { closeSync, constants, type Dirent, fstatSync, openSync, readSync } from 'node:fs';
import { readdir, realpath } from 'node:fs/promises';
import { join } from 'node:path';
import type { Diagnostic, DiagnosticCode } from '@ferrule/engine';
import {
  byCodeUnit,
  type Chosen,
  chooseFiles,
  fileDiagnostic,
  type Manifest,
  shown,
  whatHas,
} from './choose-files.ts';
import { limits } from './limits.ts';

const codeOf = (error: unknown): string =>
  error instanceof Error && 'code' in error ? String(error.code) : String(error);

/**
 * Opens without following a link in the last place and without waiting for the other end of a pipe, so that a
 * file that was exchanged after it was listed can neither lead out of the folder nor hang the reader. Both flags
 * are absent on Windows.
 */
const OPEN_FLAGS = constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0);

/**
 * The start of a file, up to one byte more than allowed: enough to see that there are too many. Or what failed. Parsing
 * takes far longer than reading, and waiting for each of many small files longer than both, so nothing waits here.
 */
function load(path: string): Uint8Array | string {
  let handle: number | undefined;
  try {
    handle = openSync(path, OPEN_FLAGS);
    const buffer = new Uint8Array(Math.min(fstatSync(handle).size, limits.fileBytes) + 1);
    let length = 0;
    while (length < buffer.length) {
      const read = readSync(handle, buffer, length, buffer.length - length, length);
      if (read === 0) break;
      length += read;
    }
    return buffer.slice(0, length);
  } catch (error) {
    return codeOf(error);
  } finally {
    if (handle !== undefined) closeSync(handle);
  }
}

/** The files of a folder, as far as they could be read, and where the folder really is. */
export interface ReadFolder extends Chosen {
  readonly root?: string;
  /** Every regular file in it, whether it is read as part of the pack or not. */
  readonly found: readonly string[];
  readonly contents: ReadonlyMap<string, Uint8Array>;
}

/**
 * The files of a pack or a library. Only regular files inside the folder are read: a symbolic link anywhere in it is
 * refused, wherever it leads. Names that start with a dot are passed over.
 */
export async function readFolder(
  folder: string,
  manifest: Manifest,
  options: { readonly withoutTrials?: boolean } = {},
): Promise<ReadFolder> {
  const diagnostics: Diagnostic[] = [];
  const report = (code: DiagnosticCode, message: string, remedy: string) =>
    diagnostics.push(fileDiagnostic(code, message, remedy));

  const what = whatHas(manifest);
  const nothing = (): ReadFolder => ({ paths: [], found: [], contents: new Map(), diagnostics });

  let root: string;
  try {
    root = await realpath(folder);
    await readdir(root);
  } catch (error) {
    report(
      'missing-folder',
      `The folder of the ${what} cannot be read (${codeOf(error)}).`,
      `Name a folder with ${manifest === 'overlay.yaml' ? 'an' : 'a'} ${manifest}.`,
    );
    return nothing();
  }

  const found: string[] = [];
  let entries = 0;
  const list = async (relative: string, depth: number): Promise<void> => {
    let listed: Dirent[];
    try {
      listed = await readdir(join(root, relative), { withFileTypes: true });
    } catch (error) {
      report(
        'unreadable-file',
        `The folder ${shown(relative)} cannot be read (${codeOf(error)}).`,
        'Allow reading it.',
      );
      return;
    }
    for (const entry of listed.sort((a, b) => byCodeUnit(a.name, b.name))) {
      if (entry.name.startsWith('.')) continue;
      entries++;
      if (entries > limits.entries) return;
      const path = relative === '' ? entry.name : `${relative}/${entry.name}`;
      if (entry.isSymbolicLink()) {
        report(
          'symbolic-link',
          `${shown(path)} is a symbolic link.`,
          `Put the file itself into the ${what}.`,
        );
      } else if (entry.isDirectory()) {
        if (depth < limits.folderDepth) await list(path, depth + 1);
        else
          report('too-deep', `Folders are nested in more than ${limits.folderDepth} levels.`, 'Nest less.');
      } else if (entry.isFile()) {
        found.push(path);
      } else {
        report(
          'irregular-file',
          `${shown(path)} is neither a file nor a folder.`,
          `Remove it from the ${what}.`,
        );
      }
    }
  };
  await list('', 0);
  if (entries > limits.entries) {
    report(
      'too-many-files',
      `The folder of the ${what} has more than ${limits.entries} names; none is read.`,
      `Split the ${what}.`,
    );
    return nothing();
  }

  const wanted = options.withoutTrials === true ? found.filter((path) => !path.startsWith('trials/')) : found;
  const chosen = chooseFiles(wanted, manifest, folder);
  const contents = new Map<string, Uint8Array>();
  let total = 0;
  for (const path of chosen.paths) {
    // The first file beyond the bound is loaded, so that reading can say so; none after it.
    if (total > limits.packBytes) break;
    const content = load(join(root, path));
    if (typeof content === 'string') {
      report('unreadable-file', `${path} cannot be read (${content}).`, 'Allow reading it.');
      continue;
    }
    total += content.length;
    contents.set(path, content);
  }
  return { root, paths: chosen.paths, found, contents, diagnostics: [...diagnostics, ...chosen.diagnostics] };
}
