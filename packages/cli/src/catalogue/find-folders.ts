import { readdir } from 'node:fs/promises';
import { join } from 'node:path';

/** What a folder holds, by the file that says so. */
export interface Found {
  readonly folder: string;
  readonly kind: 'pack' | 'library' | 'overlay';
}

const kinds = new Map([
  ['pack.yaml', 'pack'],
  ['library.yaml', 'library'],
  ['overlay.yaml', 'overlay'],
] as const);

/** How deep packs may lie in a folder: `<name>/<revision>` is two. */
const MOST_LEVELS = 4;

/** Every pack, library and overlay at or under a folder, in the order of their paths; undefined where there is no folder. */
export async function findFolders(root: string, levels = MOST_LEVELS): Promise<readonly Found[] | undefined> {
  const inside = await readdir(root, { withFileTypes: true }).catch(() => undefined);
  if (inside === undefined) return undefined;
  for (const [file, kind] of kinds)
    if (inside.some((one) => one.name === file && one.isFile())) return [{ folder: root, kind }];
  if (levels === 0) return [];
  const folders = inside
    .filter((one) => one.isDirectory() && !one.name.startsWith('.') && one.name !== 'node_modules')
    .map((one) => one.name)
    .sort();
  const found: Found[] = [];
  for (const name of folders) found.push(...((await findFolders(join(root, name), levels - 1)) ?? []));
  return found;
}
