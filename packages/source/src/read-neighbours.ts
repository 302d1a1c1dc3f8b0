import { type Dirent, readdirSync } from 'node:fs';
import { readdir, realpath } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { readPack } from './read-pack.ts';
import type { SourceMapping } from './source-value.ts';

/** The packs that stand beside a pack: their names, and of those that were asked for the newest revision that can be read. */
export interface Neighbours {
  readonly names: readonly string[];
  readonly newest: ReadonlyMap<string, { readonly revision: string; readonly document: SourceMapping }>;
}

const REVISION = /^(\d+)\.(\d+)\.(\d+)(-[0-9A-Za-z.-]+)?$/;

/**
 * The neighbours of a pack in `<pack>/<revision>`: what stands in `../../<other>/<revision>`. Nothing where the pack does not
 * stand in folders of its name and revision. Of a pack that is asked for the newest revision is read, with its libraries and
 * without its trials; what cannot be read is left out, since its own check says why. Links are not followed.
 */
export async function readNeighbours(
  folder: string,
  pack: { readonly pack: string; readonly revision: string },
  asked: Iterable<string>,
): Promise<Neighbours> {
  const nothing: Neighbours = { names: [], newest: new Map() };
  const root = await realpath(folder).catch(() => undefined);
  if (root === undefined || basename(root) !== pack.revision || basename(dirname(root)) !== pack.pack)
    return nothing;
  const shelf = dirname(dirname(root));
  const names = (await foldersIn(shelf)).filter(
    (name) => name !== pack.pack && revisionsIn(join(shelf, name)).length > 0,
  );
  const newest = new Map<string, { readonly revision: string; readonly document: SourceMapping }>();
  for (const name of new Set(asked)) {
    if (!names.includes(name)) continue;
    const revision = revisionsIn(join(shelf, name)).sort(byRevision).at(-1) ?? '';
    const { document, diagnostics } = await readPack(join(shelf, name, revision), { withoutTrials: true });
    if (!diagnostics.some((one) => one.severity === 'error')) newest.set(name, { revision, document });
  }
  return { names, newest };
}

const isPlainFolder = (one: Dirent): boolean => one.isDirectory() && !one.name.startsWith('.');

async function foldersIn(folder: string): Promise<readonly string[]> {
  const listed = await readdir(folder, { withFileTypes: true }).catch(() => []);
  return listed.filter(isPlainFolder).map((one) => one.name);
}

/** The revisions of a pack that stand in its folder. A library has no pack.yaml. */
function revisionsIn(folder: string): string[] {
  try {
    return readdirSync(folder, { withFileTypes: true })
      .filter((one) => isPlainFolder(one) && REVISION.test(one.name))
      .filter(({ name }) => readdirSync(join(folder, name)).includes('pack.yaml'))
      .map((one) => one.name);
  } catch {
    return [];
  }
}

/** Ascending; what stands before a release comes before it (Semantic Versioning 2.0.0, 11). */
function byRevision(a: string, b: string): number {
  const [one, other] = [REVISION.exec(a), REVISION.exec(b)];
  for (const place of [1, 2, 3]) {
    const order = Number(one?.[place]) - Number(other?.[place]);
    if (order !== 0) return order;
  }
  const [before, after] = [one?.[4], other?.[4]];
  if (before === undefined || after === undefined)
    return before === after ? 0 : before === undefined ? 1 : -1;
  return before < after ? -1 : before > after ? 1 : 0;
}
