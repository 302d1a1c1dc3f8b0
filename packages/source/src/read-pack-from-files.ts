import { compareDiagnostics, type Diagnostic, type DiagnosticCode } from '@ferrule/engine';
import { type Digest, digestOf } from '@ferrule/signing';
import { decodeText } from './decode-text.ts';
import { limits } from './limits.ts';
import { folders, mergePack, type ReadFile } from './merge-pack.ts';
import { type Positions, positionsOf } from './positions.ts';
import { fullBudget, readYaml } from './read-yaml.ts';
import type { SourceMapping } from './source-value.ts';

/** A file of the pack as it was read: its size in bytes and the digest of those bytes. */
export interface PackFile {
  readonly path: string;
  readonly bytes: number;
  readonly digest: Digest;
}

export interface PackReading {
  /** The merged document: sections, and under `procedures` and `trials` one entry for each id. All scalars are text. */
  readonly document: SourceMapping;
  /** Every fault found, sorted by position. A file with a syntax error adds nothing to the document. */
  readonly diagnostics: readonly Diagnostic[];
  readonly positions: Positions;
  readonly files: readonly PackFile[];
}

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
const NEARLY_YAML = /\.ya?ml$/i;

/** A path for a message: quoted, with control characters escaped. */
export const shown = (path: string): string => JSON.stringify(path.slice(0, 200));

interface Chosen {
  readonly paths: readonly string[];
  readonly diagnostics: readonly Diagnostic[];
}

/**
 * Which of these paths belong to the pack, in reading order, and what is wrong with the others. Files that are
 * not YAML by name are left alone: a pack may hold pictures and notes. `folder` is the folder as it was named, for
 * messages.
 */
export function chooseFiles(found: Iterable<string>, folder = ''): Chosen {
  const diagnostics: Diagnostic[] = [];
  const report = (code: DiagnosticCode, message: string, remedy: string, path?: string) =>
    diagnostics.push(fileDiagnostic(code, message, remedy, path));
  const candidates = [...found].filter((path) => NEARLY_YAML.test(path)).sort(byCodeUnit);
  if (candidates.length > limits.files) {
    report(
      'too-many-files',
      `The pack has more than ${limits.files} YAML files; none is read.`,
      'Split the pack.',
    );
    return { paths: [], diagnostics };
  }
  const inside = candidates.includes('pack.yaml') ? [] : packsInside(candidates);
  if (inside.length > 0) {
    // The folder of a pack was meant, and everything in this one would be astray.
    const named = inside
      .slice(0, 3)
      .map((one) => (folder === '' ? one : `${folder.replace(/\/+$/, '')}/${one}`));
    const more = inside.length > 3 ? ', …' : '';
    report('missing-manifest', 'There is no pack.yaml here.', `Did you mean ${named.join(', ')}${more}?`);
    return { paths: [], diagnostics };
  }
  const paths: string[] = [];
  for (const path of candidates) {
    const segments = path.split('/');
    if (!segments.every((segment) => NAME.test(segment))) {
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
  if (!paths.includes('pack.yaml')) {
    report('missing-manifest', 'The pack has no pack.yaml.', 'Write one: it says what the pack is.');
  }
  return { paths, diagnostics };
}

/** Folders further in that hold a pack.yaml. In a folder of the pack itself that is a file like any other. */
const packsInside = (paths: readonly string[]): readonly string[] =>
  paths.flatMap((path) => {
    const folder = /^(.+)\/pack\.yaml$/.exec(path)?.[1];
    return folder === undefined || folders.has(folder) ? [] : [folder];
  });

/** Reads the chosen files whose contents are there; `already` are the diagnostics of choosing and loading them. */
export function readChosen(
  paths: readonly string[],
  contents: ReadonlyMap<string, Uint8Array | string>,
  already: readonly Diagnostic[],
): PackReading {
  const diagnostics = [...already];
  const report = (message: string, remedy: string) =>
    diagnostics.push(fileDiagnostic('too-large', message, remedy));
  const encoder = new TextEncoder();
  const budget = fullBudget();
  const files: PackFile[] = [];
  const read: ReadFile[] = [];
  let total = 0;
  for (const path of paths) {
    const content = contents.get(path);
    if (content === undefined) continue;
    const bytes = typeof content === 'string' ? encoder.encode(content) : content;
    total += bytes.length;
    if (total > limits.packBytes) {
      report(
        `The pack has more than ${limits.packBytes} bytes; ${path} and what follows is not read.`,
        'Split the pack.',
      );
      break;
    }
    if (bytes.length > limits.fileBytes) {
      report(`${path} has more than ${limits.fileBytes} bytes and is not read.`, 'Split the file.');
      continue;
    }
    files.push({ path, bytes: bytes.length, digest: digestOf(bytes) });
    // The text as given, not its bytes: encoding would hide half a character.
    const decoded = decodeText(path, content);
    read.push({
      path,
      ...('fault' in decoded ? { faults: [decoded.fault] } : readYaml(decoded.source, budget)),
    });
  }
  const merged = mergePack(read);
  return {
    document: merged.document,
    diagnostics: [...diagnostics, ...merged.diagnostics].sort(compareDiagnostics),
    positions: positionsOf(merged.root),
    files,
  };
}

/**
 * Reads a pack from the contents of its files, by path relative to the pack folder with forward slashes. Pure:
 * the same files give the same answer whatever their order. Never throws for what the files hold.
 */
export function readPackFromFiles(contents: ReadonlyMap<string, Uint8Array | string>): PackReading {
  const { paths, diagnostics } = chooseFiles(contents.keys());
  return readChosen(paths, contents, diagnostics);
}
