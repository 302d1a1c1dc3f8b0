import { dirname, join, relative } from 'node:path';
import { layOverlay } from './lay-overlay.ts';
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
 * pack, and its bundle would have another digest. `overlay` is the folder of an overlay that is laid over the whole of it.
 */
export async function readPack(
  folder: string,
  options:
    | { readonly withoutTrials?: boolean; readonly overlay?: undefined }
    | { readonly withoutTrials?: undefined; readonly overlay?: string } = {},
): Promise<PackReading> {
  const { root, paths, contents, diagnostics } = await readFolder(folder, 'pack.yaml', {
    withoutTrials: options.withoutTrials === true,
  });
  const pack = readFiles(paths, contents, diagnostics);
  const libraries = new Map<string, LibraryFiles>();
  if (root === undefined) return takeLibraries(pack, libraries);
  for (const { name, revision } of usedLibraries(pack.document)) {
    const at = join(dirname(dirname(root)), name, revision);
    const library = await readFolder(at, 'library.yaml');
    // A link in place of the folder could lead anywhere.
    if (library.root === at) libraries.set(`${name}/${revision}`, library);
  }
  const whole = takeLibraries(pack, libraries);
  if (options.overlay === undefined) return whole;
  const overlay = await readFolder(options.overlay, 'overlay.yaml');
  const at = `${relative(root, overlay.root ?? options.overlay)}/`.replaceAll('\\', '/');
  const start = { file: 'overlay.yaml', line: 1, column: 1, endLine: 1, endColumn: 1 };
  const already = overlay.diagnostics.map((one) => {
    const span = one.span ?? start;
    return { ...one, span: { ...span, file: at + span.file } };
  });
  return layOverlay(whole, readFiles(overlay.paths, overlay.contents, already, at), at);
}
