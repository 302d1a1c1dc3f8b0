import { revisionOrder } from '../comparison/revision-order.ts';
import type { ShelvedPack } from '../link/documents.ts';

/** Packs by name, of each the newest revision first. */
export function shelfByName(
  packs: readonly ShelvedPack[],
): readonly (readonly [name: string, revisions: readonly ShelvedPack[]])[] {
  const names = new Map<string, ShelvedPack[]>();
  for (const one of [...packs].sort((a, b) => revisionOrder(b.revision, a.revision)))
    names.set(one.pack, [...(names.get(one.pack) ?? []), one]);
  return [...names].sort(([a], [b]) => (a < b ? -1 : 1));
}
