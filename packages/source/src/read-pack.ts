import { dirname, join } from 'node:path';
import { readFiles } from './read-files.ts';
import { readFolder } from './read-folder.ts';
import { type LibraryFiles, type PackReading, takeLibraries, usedLibraries } from './take-libraries.ts';

/**
 * Reads a pack from its folder, with the libraries that it uses: `harbour-workshop` in revision `1.0.0` stands beside the
 * pack, in `../../harbour-workshop/1.0.0`. A pack names a library and never a path, so nothing else is ever read; what is
 * read is held against the digest that the pack states. Everything that is wrong with a folder or its files is in the
 * diagnostics; nothing that a pack holds makes this throw.
 *
 * `withoutTrials` leaves the files of trials unread, for whoever only looks something up: such a document is not the whole
 * pack, and its bundle would have another digest.
 */
export async function readPack(
  folder: string,
  options: { readonly withoutTrials?: boolean } = {},
): Promise<PackReading> {
  const { root, paths, contents, diagnostics } = await readFolder(folder, 'pack.yaml', options);
  const pack = readFiles(paths, contents, diagnostics);
  const libraries = new Map<string, LibraryFiles>();
  if (root === undefined) return takeLibraries(pack, libraries);
  for (const { name, revision } of usedLibraries(pack.document)) {
    const at = join(dirname(dirname(root)), name, revision);
    const library = await readFolder(at, 'library.yaml');
    // A link in place of the folder could lead anywhere.
    if (library.root === at) libraries.set(`${name}/${revision}`, library);
  }
  return takeLibraries(pack, libraries);
}
