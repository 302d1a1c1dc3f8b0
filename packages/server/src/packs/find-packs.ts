import type { Dirent } from 'node:fs';
import { readdir, stat } from 'node:fs/promises';
import { join } from 'node:path';

/** A folder on a shelf. */
export interface Found {
  readonly name: string;
  readonly revision: string;
  readonly folder: string;
}

/** What stands on the shelves: packs, and the overlays that can be laid over them. */
export interface OnShelf {
  readonly packs: readonly Found[];
  readonly overlays: readonly Found[];
  /** What packs take from, which stands beside them. */
  readonly libraries: readonly Found[];
}

/** As the format has them: both lead nowhere as a part of a path. */
const NAME = /^[a-z][a-z0-9]*(-[a-z0-9]+)*$/;
const REVISION = /^[0-9]+\.[0-9]+\.[0-9]+(-[0-9A-Za-z.-]+)?$/;

/**
 * Looks through shelves, folders that hold `<name>/<revision>/pack.yaml` and `…/overlay.yaml`. Links are not followed. Where two
 * shelves have the same, that of the first counts.
 */
export async function findPacks(shelves: readonly string[]): Promise<OnShelf> {
  const found: Readonly<Record<(typeof kinds)[number], Map<string, Found>>> = {
    packs: new Map(),
    overlays: new Map(),
    libraries: new Map(),
  };
  for (const shelf of shelves) {
    for (const name of await foldersIn(shelf, NAME)) {
      for (const revision of await foldersIn(join(shelf, name), REVISION)) {
        const folder = join(shelf, name, revision);
        const files = (await list(folder)).filter((one) => one.isFile()).map((one) => one.name);
        const kind = kinds.find((one) => files.includes(manifests[one]));
        const key = `${name}/${revision}`;
        if (kind !== undefined && !found[kind].has(key)) found[kind].set(key, { name, revision, folder });
      }
    }
  }
  return {
    packs: [...found.packs.values()],
    overlays: [...found.overlays.values()],
    libraries: [...found.libraries.values()],
  };
}

const manifests = { packs: 'pack.yaml', overlays: 'overlay.yaml', libraries: 'library.yaml' } as const;
const kinds = ['packs', 'overlays', 'libraries'] as const;

/** What changes when a file in a folder does: names, sizes and times of everything in it. */
export async function stampOf(folder: string): Promise<string> {
  const entries = await list(folder);
  const stamps = await Promise.all(
    entries.map(async (one) => {
      const path = join(folder, one.name);
      if (one.isDirectory()) return `${one.name}/${await stampOf(path)}`;
      const found = await stat(path).catch(() => undefined);
      return `${one.name} ${found?.size} ${found?.mtimeMs}`;
    }),
  );
  return stamps.sort().join('\n');
}

const list = (folder: string): Promise<readonly Dirent[]> =>
  readdir(folder, { withFileTypes: true }).catch(() => []);

const foldersIn = async (folder: string, named: RegExp): Promise<readonly string[]> =>
  (await list(folder))
    .filter((one) => one.isDirectory() && named.test(one.name))
    .map((one) => one.name)
    .sort();
