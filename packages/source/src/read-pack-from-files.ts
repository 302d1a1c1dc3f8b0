import { chooseFiles } from './choose-files.ts';
import { layOverlay } from './lay-overlay.ts';
import { readFiles } from './read-files.ts';
import { type PackReading, takeLibraries } from './take-libraries.ts';

/**
 * Reads a pack from the contents of its files, by path relative to the pack folder with forward slashes; `libraries` are
 * the files of those that it uses, each under `name/revision`; `overlay` are the files of one that is laid over it. Pure: the same files give the same answer whatever their
 * order. Never throws for what the files hold.
 */
export function readPackFromFiles(
  contents: ReadonlyMap<string, Uint8Array | string>,
  libraries: ReadonlyMap<string, ReadonlyMap<string, Uint8Array | string>> = new Map(),
  overlay?: ReadonlyMap<string, Uint8Array | string>,
): PackReading {
  const { paths, diagnostics } = chooseFiles(contents.keys());
  const files = [...libraries].map(
    ([id, own]) => [id, { ...chooseFiles(own.keys(), 'library.yaml'), contents: own }] as const,
  );
  const whole = takeLibraries(readFiles(paths, contents, diagnostics), new Map(files));
  if (overlay === undefined) return whole;
  const chosen = chooseFiles(overlay.keys(), 'overlay.yaml');
  const folder = 'overlay/';
  return layOverlay(whole, readFiles(chosen.paths, overlay, chosen.diagnostics, folder), folder);
}
