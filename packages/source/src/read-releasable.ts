import { closeSync, existsSync, fstatSync, openSync, readSync } from 'node:fs';
import { join } from 'node:path';
import { compareDiagnostics, type Diagnostic } from '@ferrule/engine';
import { type Digest, type Policy, type Released, releaseFile } from '@ferrule/signing';
import { bundleOf } from './bundle.ts';
import { fileDiagnostic, hasPlainNames, type Manifest, shown } from './choose-files.ts';
import { readFiles } from './read-files.ts';
import { readFolder } from './read-folder.ts';
import { readPack } from './read-pack.ts';
import { digestsOf, type Named, namedIn, type ReleaseReading, readRelease } from './read-release.ts';
import type { SourceMapping } from './source-value.ts';

/** A folder that can be released: a pack, a library or an overlay, by itself. */
export interface Releasable {
  readonly root: string;
  readonly named: Named;
  readonly title: string;
  /** Digest of its bundle; undefined where errors keep it from being read as a whole. */
  readonly digest?: Digest;
  readonly files: Readonly<Record<string, Digest>>;
  readonly libraries: readonly {
    readonly name: string;
    readonly revision: string;
    readonly digest: Digest;
  }[];
  readonly release: ReleaseReading;
  readonly diagnostics: readonly Diagnostic[];
}

const manifests: readonly (readonly [Released, Manifest])[] = [
  ['pack', 'pack.yaml'],
  ['library', 'library.yaml'],
  ['overlay', 'overlay.yaml'],
];

/** What a folder is by the manifest that stands in it; undefined for any other folder. */
export const manifestIn = (folder: string): Released | undefined =>
  manifests.find(([, file]) => existsSync(join(folder, file)))?.[0];

/**
 * Reads a pack, a library or an overlay by itself, with its release: what `release` signs and `verify` looks at. Undefined
 * for a folder that is none of these; without a name or revision only the diagnostics.
 */
export async function readReleasable(
  folder: string,
  policy?: Policy,
): Promise<Releasable | { readonly diagnostics: readonly Diagnostic[] } | undefined> {
  const of = manifestIn(folder);
  const manifest = manifests.find(([one]) => one === of)?.[1];
  if (of === undefined || manifest === undefined) return undefined;
  const own = await readFolder(folder, manifest);
  const { root, found } = own;
  const whole =
    of === 'pack'
      ? await readPack(folder)
      : { ...readFiles(own.paths, own.contents, own.diagnostics), libraries: [] };
  const named = namedIn(whole.document);
  const read = of === 'pack' ? whole.diagnostics.filter((one) => !isOfRelease(one)) : whole.diagnostics;
  if (root === undefined || named === undefined) return { diagnostics: read };
  const isWhole = read.every((one) => one.severity !== 'error');
  const digest = isWhole ? bundleOf(whole.document).digest : undefined;
  const release = readRelease(root, found, { named, digest, policy });
  const hashed = digestsOf(root, found);
  const failed =
    'failed' in hashed
      ? [
          fileDiagnostic(
            'unreadable-file',
            `${shown(hashed.path)} cannot be read (${hashed.failed}).`,
            'Allow reading it.',
          ),
        ]
      : [];
  return {
    ...{ root, named, title: titleOf(whole.document), libraries: whole.libraries, release },
    ...(digest === undefined ? {} : { digest }),
    files: 'failed' in hashed ? {} : hashed.files,
    diagnostics: [...read, ...failed].sort(compareDiagnostics),
  };
}

const isOfRelease = ({ code }: Diagnostic): boolean => code.startsWith('release');

const titleOf = ({ title }: SourceMapping): string => (typeof title === 'string' ? title : '');

/** No private key is longer than this, and a file of keys hardly. */
const MOST_KEY_BYTES = 16 * 1024;

/** Files that hold a private key, which must never be in what is handed on; `root` is the folder that they are in. */
export function privateKeysIn(root: string, files: Iterable<string>): readonly Diagnostic[] {
  const diagnostics: Diagnostic[] = [];
  for (const path of files)
    if (holdsPrivateKey(join(root, path)))
      diagnostics.push(
        fileDiagnostic(
          'private-key',
          `${shown(path)} holds a private key.`,
          'Take it out, and make a new one: whoever has had this folder may have it.',
          path,
        ),
      );
  return diagnostics;
}

function holdsPrivateKey(path: string): boolean {
  let handle: number | undefined;
  try {
    handle = openSync(path, 'r');
    if (fstatSync(handle).size > MOST_KEY_BYTES) return false;
    const bytes = Buffer.alloc(MOST_KEY_BYTES);
    return /-----BEGIN [A-Z ]*PRIVATE KEY-----/.test(bytes.toString('latin1', 0, readSync(handle, bytes)));
  } catch {
    return false;
  } finally {
    if (handle !== undefined) closeSync(handle);
  }
}

/** Why a folder cannot be released, whatever `check` says of it: keys in it, and names that not every machine can have. */
export const notReleasable = ({ root, files }: Releasable): readonly Diagnostic[] => [
  ...privateKeysIn(root, Object.keys(files)),
  ...Object.keys(files)
    .filter((path) => path !== releaseFile && !hasPlainNames(path))
    .map((path) =>
      fileDiagnostic(
        'file-name',
        `The file name ${shown(path)} does not mean the same on every machine.`,
        'Name it with letters, digits, dots, dashes and underscores of ASCII.',
        path,
      ),
    ),
];
