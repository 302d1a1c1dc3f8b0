import type { Diagnostic, DiagnosticCode } from '@ferrule/engine';
import { limits } from './limits.ts';
import { folders } from './merge-pack.ts';

/** The file that makes a folder a pack, a library or an overlay. */
export type Manifest = 'pack.yaml' | 'library.yaml' | 'overlay.yaml';

/** What a folder is by its manifest. */
export const whatHas = (manifest: Manifest): string => manifest.slice(0, -'.yaml'.length);

/** Texts in one order on every machine: by UTF-16 code unit. */
export const byCodeUnit = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** A diagnostic about a whole file or folder, for which there is no text to point at. */
export const fileDiagnostic = (
  code: DiagnosticCode,
  message: string,
  remedy: string,
  path?: string,
): Diagnostic => ({
  code,
  severity: 'error',
  pointer: '',
  message,
  remedy,
  // Nothing in the file is at fault: its start stands for it.
  ...(path === undefined ? {} : { span: { file: path, line: 1, column: 1, endLine: 1, endColumn: 1 } }),
});

/** Letters, digits, dot, dash and underscore of ASCII: names that mean the same on every file system. */
const NAME = /^[A-Za-z0-9][A-Za-z0-9._-]*$/;
/** Whether each part of a path is such a name. */
export const hasPlainNames = (path: string): boolean => path.split('/').every((part) => NAME.test(part));
const NEARLY_YAML = /\.ya?ml$/i;

/** A path for a message: quoted, with control characters escaped. */
export const shown = (path: string): string => JSON.stringify(path.slice(0, 200));

export interface Chosen {
  readonly paths: readonly string[];
  readonly diagnostics: readonly Diagnostic[];
}

/**
 * Which of these paths belong to the pack, in reading order, and what is wrong with the others. Files that are
 * not YAML by name are left alone: a pack may hold pictures and notes. `folder` is the folder as it was named, for
 * messages.
 */
export function chooseFiles(found: Iterable<string>, manifest: Manifest = 'pack.yaml', folder = ''): Chosen {
  const what = whatHas(manifest);
  const diagnostics: Diagnostic[] = [];
  const report = (code: DiagnosticCode, message: string, remedy: string, path?: string) =>
    diagnostics.push(fileDiagnostic(code, message, remedy, path));
  const candidates = [...found].filter((path) => NEARLY_YAML.test(path)).sort(byCodeUnit);
  if (candidates.length > limits.files) {
    report(
      'too-many-files',
      `The ${what} has more than ${limits.files} YAML files; none is read.`,
      `Split the ${what}.`,
    );
    return { paths: [], diagnostics };
  }
  const inside = candidates.includes(manifest) ? [] : manifestsInside(candidates, manifest);
  if (inside.length > 0) {
    // The folder of a pack was meant, and everything in this one would be astray.
    const named = inside
      .slice(0, 3)
      .map((one) => (folder === '' ? one : `${folder.replace(/\/+$/, '')}/${one}`));
    const more = inside.length > 3 ? ', …' : '';
    report('missing-manifest', `There is no ${manifest} here.`, `Did you mean ${named.join(', ')}${more}?`);
    return { paths: [], diagnostics };
  }
  const paths: string[] = [];
  for (const path of candidates) {
    const segments = path.split('/');
    if (!hasPlainNames(path)) {
      const remedy = 'Name it with letters, digits, dots, dashes and underscores of ASCII.';
      report(
        'file-name',
        `The file name ${shown(path)} does not mean the same on every machine.`,
        remedy,
        path,
      );
    } else if (!/\.ya?ml$/.test(path)) {
      report('stray-file', `${path} is not read.`, 'End its name in .yaml, in small letters.', path);
    } else if (segments.length > 2 || (segments.length === 2 && !folders.has(segments[0] ?? ''))) {
      const remedy = 'YAML files stand in the pack folder, in procedures and in trials.';
      report('stray-file', `${path} is not read.`, remedy, path);
    } else {
      paths.push(path);
    }
  }
  if (!paths.includes(manifest)) {
    if (manifest === 'pack.yaml' && paths.includes('overlay.yaml'))
      report(
        'missing-manifest',
        'This is the folder of an overlay, and no pack.',
        'Name the pack, and lay the overlay over it with --overlay.',
      );
    else
      report(
        'missing-manifest',
        `The ${what} has no ${manifest}.`,
        `Write one: it says what the ${what} is.`,
      );
  }
  return { paths, diagnostics };
}

/** Folders further in that hold such a file. In a folder of the pack itself that is a file like any other. */
const manifestsInside = (paths: readonly string[], manifest: Manifest): readonly string[] =>
  paths.flatMap((path) => {
    const folder = path.endsWith(`/${manifest}`) ? path.slice(0, -manifest.length - 1) : undefined;
    return folder === undefined || folders.has(folder) ? [] : [folder];
  });
