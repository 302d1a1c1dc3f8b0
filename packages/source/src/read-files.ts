import { compareDiagnostics, type Diagnostic } from '@ferrule/engine';
import { type Digest, digestOf } from '@ferrule/signing';
import { answersInOrder } from './answers-in-order.ts';
import { fileDiagnostic } from './choose-files.ts';
import { FileReadings } from './file-readings.ts';
import { limits } from './limits.ts';
import { mergePack, type ReadFile } from './merge-pack.ts';
import { type Positions, positionsOf } from './positions.ts';
import { fullBudget } from './read-yaml.ts';
import type { SourceMapping } from './source-value.ts';
import type { Spot } from './spot.ts';

/** A file of the pack as it was read: its size in bytes and the digest of those bytes. */
export interface PackFile {
  readonly path: string;
  readonly bytes: number;
  readonly digest: Digest;
}

/** The files of one folder, read and merged. */
export interface ReadFiles {
  /** The merged document: sections, and under `procedures` and `trials` one entry for each id. All scalars are text. */
  readonly document: SourceMapping;
  /** Every fault found, sorted by position. A file with a syntax error adds nothing to the document. */
  readonly diagnostics: readonly Diagnostic[];
  readonly positions: Positions;
  readonly files: readonly PackFile[];
  /** Where everything in the document stands, from its root. */
  readonly root: Spot;
}

/**
 * Reads the chosen files whose contents are there; `already` are the diagnostics of choosing and loading them. `folder`
 * stands before their paths wherever they are shown: it leads from the folder of the pack to theirs. `readings` are those of files
 * that were read before.
 */
export function readFiles(
  paths: readonly string[],
  contents: ReadonlyMap<string, Uint8Array | string>,
  already: readonly Diagnostic[],
  folder = '',
  readings = new FileReadings(),
): ReadFiles {
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
    const digest = digestOf(bytes);
    files.push({ path: folder + path, bytes: bytes.length, digest });
    // The text as given, not its bytes: encoding would hide half a character.
    read.push({ path, ...readings.read(folder + path, digest, content, budget) });
  }
  const merged = mergePack(read);
  return {
    document: answersInOrder(merged.document),
    diagnostics: [...diagnostics, ...merged.diagnostics].sort(compareDiagnostics),
    positions: positionsOf(merged.root),
    files,
    root: merged.root,
  };
}
