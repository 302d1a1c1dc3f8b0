import { dirname, join, relative } from 'node:path';
import { compareDiagnostics, type Diagnostic } from '@ferrule/engine';
import type { Policy } from '@ferrule/signing';
import { bundleOf } from './bundle.ts';
import type { FileReadings } from './file-readings.ts';
import { layOverlay } from './lay-overlay.ts';
import { readFiles } from './read-files.ts';
import { type ReadFolder, readFolder } from './read-folder.ts';
import { namedIn, type ReleaseReading, readRelease } from './read-release.ts';
import type { SourceMapping } from './source-value.ts';
import { type LibraryFiles, type PackReading, takeLibraries, usedLibraries } from './take-libraries.ts';

/**
 * Reads a pack from its folder, with the libraries that it uses: `harbour-workshop` in revision `1.0.0` stands beside the
 * pack, in `../../harbour-workshop/1.0.0`. A pack names a library and never a path, so nothing else is ever read; what is
 * read is held against the digest that the pack states, and a folder that was released against its release. Everything
 * that is wrong with a folder or its files is in the diagnostics; nothing that a pack holds makes this throw.
 *
 * `withoutTrials` leaves the files of trials unread, for whoever only looks something up: such a document is not the whole
 * pack, and its bundle would have another digest. `overlay` is the folder of an overlay that is laid over the whole of it.
 * `readings` are of files that were read before, which are not parsed again where they stand unchanged.
 * `policy` says whose signatures count; without one a release shows only that nothing was changed since.
 */
export async function readPack(
  folder: string,
  options: {
    readonly policy?: Policy | undefined;
    readonly readings?: FileReadings | undefined;
  } & (
    | { readonly withoutTrials?: boolean; readonly overlay?: undefined }
    | { readonly withoutTrials?: undefined; readonly overlay?: string }
  ) = {},
): Promise<PackReading> {
  const { policy, readings, withoutTrials, overlay: overlayFolder } = options;
  const own = await readFolder(folder, 'pack.yaml', { withoutTrials: withoutTrials === true });
  const { root, paths, contents, diagnostics } = own;
  const pack = readFiles(paths, contents, diagnostics, '', readings);
  const libraries = new Map<string, LibraryFiles>();
  if (root === undefined) return takeLibraries(pack, libraries);
  for (const { name, revision } of usedLibraries(pack.document)) {
    const at = join(dirname(dirname(root)), name, revision);
    const library = await readFolder(at, 'library.yaml');
    // A link in place of the folder could lead anywhere.
    if (library.root === at) libraries.set(`${name}/${revision}`, library);
  }
  const taken = takeLibraries(pack, libraries, readings);
  const release = releaseOf(own, pack.document, policy, withoutTrials === true ? undefined : taken);
  const whole = {
    ...taken,
    ...(release === undefined ? {} : { release: release.state }),
    diagnostics: [...taken.diagnostics, ...(release?.diagnostics ?? [])].sort(compareDiagnostics),
  };
  if (overlayFolder === undefined) return whole;
  const overlay = await readFolder(overlayFolder, 'overlay.yaml');
  const at = `${relative(root, overlay.root ?? overlayFolder)}/`.replaceAll('\\', '/');
  const start = { file: 'overlay.yaml', line: 1, column: 1, endLine: 1, endColumn: 1 };
  const moved = (one: Diagnostic): Diagnostic => {
    const span = one.span ?? start;
    return { ...one, span: { ...span, file: at + span.file } };
  };
  const files = readFiles(overlay.paths, overlay.contents, overlay.diagnostics.map(moved), at);
  const laid = layOverlay(whole, files, at);
  const laidRelease = releaseOf(overlay, files.document, policy, files);
  return {
    ...laid,
    ...(release === undefined ? {} : { release: release.state }),
    ...(laidRelease === undefined ? {} : { overlayRelease: laidRelease.state }),
    diagnostics: [...laid.diagnostics, ...(laidRelease?.diagnostics ?? []).map(moved)].sort(
      compareDiagnostics,
    ),
  };
}

/** How a folder was released; `whole` is what all of it comes to, where all of it was read. */
function releaseOf(
  { root, found }: ReadFolder,
  document: SourceMapping,
  policy: Policy | undefined,
  whole: { readonly document: SourceMapping; readonly diagnostics: readonly Diagnostic[] } | undefined,
): ReleaseReading | undefined {
  if (root === undefined || found.length === 0) return undefined;
  const isWhole = whole?.diagnostics.every((one) => one.severity !== 'error') === true;
  return readRelease(root, found, {
    named: namedIn(document),
    policy,
    digest: isWhole && found.includes('release.json') ? bundleOf(whole.document).digest : undefined,
  });
}
