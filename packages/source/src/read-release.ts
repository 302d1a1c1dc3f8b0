import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { Diagnostic, DiagnosticCode, Severity } from '@ferrule/engine';
import {
  type Digest,
  type Envelope,
  type Policy,
  type Released,
  type ReleaseState,
  type ReleaseStatement,
  readEnvelope,
  releaseFile,
  releaseState,
  unsigned,
} from '@ferrule/signing';
import { shown } from './choose-files.ts';
import { hashFile } from './hash-file.ts';
import type { SourceMapping } from './source-value.ts';

/** What a folder says that it holds, by its manifest. */
export interface Named {
  readonly of: Released;
  readonly name: string;
  readonly revision: string;
}

/** How a folder was released, and in what it is not as it was then. */
export interface ReleaseReading {
  readonly state: ReleaseState;
  /** There where a release could be read, intact or not. */
  readonly envelope?: Envelope;
  readonly diagnostics: readonly Diagnostic[];
}

/** What a document says that it is; undefined where it does not say so. */
export function namedIn(document: SourceMapping): Named | undefined {
  const { revision } = document;
  for (const of of ['pack', 'library', 'overlay'] as const) {
    const name = document[of];
    if (typeof name === 'string' && typeof revision === 'string') return { of, name, revision };
  }
  return undefined;
}

/** A release has a line for each file, and a pack no more than some thousand files. */
const MOST_BYTES = 4 * 1024 * 1024;

/**
 * Reads the release of a folder, and holds every file against it; `found` are the regular files of the folder, `named` what
 * it says that it is, and `digest` that of its bundle, where it is known. Each file that is not as it was released is a
 * diagnostic which names it. A folder without a release is unsigned, and nothing is wrong with that.
 */
export function readRelease(
  root: string,
  found: readonly string[],
  {
    named,
    digest,
    policy,
  }: {
    readonly named?: Named | undefined;
    readonly digest?: Digest | undefined;
    readonly policy?: Policy | undefined;
  },
): ReleaseReading {
  if (!found.includes(releaseFile)) return { state: unsigned, diagnostics: [] };
  const diagnostics: Diagnostic[] = [];
  const report = (code: DiagnosticCode, file: string, message: string, remedy: string): void =>
    void diagnostics.push(releaseDiagnostic(code, file, message, remedy));
  const envelope = envelopeIn(join(root, releaseFile));
  const state = releaseState(envelope ?? null, policy);
  if (state.state !== 'signed') {
    const message = state.state === 'broken' ? state.message : 'It cannot be read.';
    report('release-broken', releaseFile, `This release does not hold. ${message}`, AGAIN);
    return { state, diagnostics, ...(envelope === undefined ? {} : { envelope }) };
  }
  const { statement } = state;
  if (named !== undefined && !isOf(statement, named)) {
    const { of, name, revision } = statement;
    report(
      'release-of-another',
      releaseFile,
      `This is the release of the ${of} ${name} ${revision}, and here is the ${named.of} ${named.name} ${named.revision}.`,
      `If this was copied to write something new, delete ${releaseFile}.`,
    );
  } else diagnostics.push(...filesOtherwise(root, found, statement));
  if (diagnostics.length === 0 && digest !== undefined && digest !== statement.digest)
    report(
      'release-broken',
      releaseFile,
      `The files are those that were released, and what they come to is not: its digest is ${digest}, and was ${statement.digest}.`,
      'Look whether a library was changed, and whether this Ferrule is older or newer than the one that released it.',
    );
  return diagnostics.length === 0
    ? { state, diagnostics, ...(envelope === undefined ? {} : { envelope }) }
    : {
        state: { state: 'broken', fault: 'not-as-released', message: summary(diagnostics) },
        diagnostics,
        ...(envelope === undefined ? {} : { envelope }),
      };
}

const AGAIN = `Put back the ${releaseFile} that was released, or delete it: what is here is then unsigned.`;

const isOf = (statement: ReleaseStatement, named: Named): boolean =>
  statement.of === named.of && statement.name === named.name && statement.revision === named.revision;

/** A diagnostic about a file of a released folder. */
const releaseDiagnostic = (
  code: DiagnosticCode,
  file: string,
  message: string,
  remedy: string,
  severity: Severity = 'error',
): Diagnostic => ({
  ...{ code, severity, pointer: '', message, remedy },
  span: { file, line: 1, column: 1, endLine: 1, endColumn: 1 },
});

function envelopeIn(path: string): Envelope | undefined {
  try {
    if (statSync(path).size > MOST_BYTES) return undefined;
    return readEnvelope(readFileSync(path, 'utf8'));
  } catch {
    return undefined;
  }
}

/** The digest of each file of a folder but its release, or the files that could not be read and why. */
export function digestsOf(
  root: string,
  found: readonly string[],
): { readonly files: Readonly<Record<string, Digest>> } | { readonly failed: string; readonly path: string } {
  const files: [string, Digest][] = [];
  for (const path of found) {
    if (path === releaseFile) continue;
    const hashed = hashFile(join(root, path));
    if ('failed' in hashed) return { failed: hashed.failed, path };
    files.push([path, hashed.digest]);
  }
  return { files: Object.fromEntries(files) };
}

/** Each file that was changed, added, renamed or taken away since the release. */
function filesOtherwise(
  root: string,
  found: readonly string[],
  statement: ReleaseStatement,
): readonly Diagnostic[] {
  const released = new Map(Object.entries(statement.files));
  const which = `${statement.name} ${statement.revision}`;
  const diagnostics: Diagnostic[] = [];
  const missing = new Map(
    [...released].filter(([path]) => !found.includes(path)).map(([path, was]) => [was, path]),
  );
  const renamed = new Set<string>();
  for (const path of found) {
    if (path === releaseFile) continue;
    const was = released.get(path);
    const now = hashFile(join(root, path));
    if ('failed' in now) {
      diagnostics.push(
        releaseDiagnostic(
          'unreadable-file',
          path,
          `${shown(path)} cannot be read (${now.failed}).`,
          'Allow reading it.',
        ),
      );
    } else if (was === undefined) {
      const before = missing.get(now.digest);
      if (before !== undefined) renamed.add(before);
      const message =
        before === undefined
          ? `${shown(path)} was not there when ${which} was released.`
          : `${shown(path)} was called ${shown(before)} when ${which} was released.`;
      diagnostics.push(
        releaseDiagnostic(
          'released-file-added',
          path,
          message,
          before === undefined ? `Take it out. ${NEW}` : `Give it its name back. ${NEW}`,
        ),
      );
    } else if (was !== now.digest) {
      const isLineEnds = was === now.withUnixLineEnds;
      const message = isLineEnds
        ? `Only the line ends of ${shown(path)} are not as they were when ${which} was released.`
        : `${shown(path)} is not as it was when ${which} was released.`;
      const remedy = isLineEnds
        ? 'Have whatever copied it leave line ends alone (with Git: a line * -text in .gitattributes), and copy it again.'
        : `Put it back as it was released. ${NEW}`;
      diagnostics.push(releaseDiagnostic('released-file-changed', path, message, remedy));
    }
  }
  for (const path of missing.values()) {
    if (renamed.has(path)) continue;
    const message = `${shown(path)} was released with ${which}, and is not there.`;
    diagnostics.push(
      releaseDiagnostic(
        'released-file-missing',
        releaseFile,
        message,
        `Put it back as it was released. ${NEW}`,
      ),
    );
  }
  return diagnostics;
}

const NEW = `What is to be otherwise becomes a new revision, in a folder of its own without ${releaseFile}.`;

/** What is not as it was released, in one sentence. */
function summary(diagnostics: readonly Diagnostic[]): string {
  const [first, ...more] = diagnostics;
  const rest = more.length === 0 ? '' : ` And ${more.length} more; check names each.`;
  return `${first?.message ?? ''}${rest}`;
}
