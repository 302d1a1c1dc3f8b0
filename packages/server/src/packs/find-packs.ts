import type { Dirent } from 'node:fs';
import { readdir } from 'node:fs/promises';
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
}

/** As the format has them: both lead nowhere as a part of a path. */
const NAME = /^[a-z][a-z0-9]*(-[a-z0-9]+)*$/;
const REVISION = /^[0-9]+\.[0-9]+\.[0-9]+(-[0-9A-Za-z.-]+)?$/;

/**
 * Looks through shelves, folders that hold `<name>/<revision>/pack.yaml` and `…/overlay.yaml`. Links are not followed. Where two
 * shelves have the same, that of the first counts.
 */
export async function findPacks(shelves: readonly string[]): Promise<OnShelf> {
  const packs = new Map<string, Found>();
  const overlays = new Map<string, Found>();
  for (const shelf of shelves) {
    for (const name of await foldersIn(shelf, NAME)) {
      for (const revision of await foldersIn(join(shelf, name), REVISION)) {
        const folder = join(shelf, name, revision);
        const files = (await list(folder)).filter((one) => one.isFile()).map((one) => one.name);
        const into = files.includes('pack.yaml')
          ? packs
          : files.includes('overlay.yaml')
            ? overlays
            : undefined;
        const key = keyOf(name, revision);
        if (into !== undefined && !into.has(key)) into.set(key, { name, revision, folder });
      }
    }
  }
  return { packs: [...packs.values()], overlays: [...overlays.values()] };
}

export const keyOf = (name: string, revision: string): string => `${name}/${revision}`;

const list = (folder: string): Promise<readonly Dirent[]> =>
  readdir(folder, { withFileTypes: true }).catch(() => []);

const foldersIn = async (folder: string, named: RegExp): Promise<readonly string[]> =>
  (await list(folder))
    .filter((one) => one.isDirectory() && named.test(one.name))
    .map((one) => one.name)
    .sort();
