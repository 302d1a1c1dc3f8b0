import { checkPack } from '@ferrule/check';
import { namedSections } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { readPack } from '@ferrule/source';
import type { CataloguedPack, Unreadable } from './describe-pack.ts';

/** A library as a catalogue has it. */
export interface CataloguedLibrary {
  readonly folder: string;
  readonly library: string;
  readonly revision: string;
  readonly title: string;
  readonly digest: string;
  /** How much of each kind it holds: hazards 22, instruments 18. */
  readonly holds: Readonly<Record<string, number>>;
  /** The packs of the catalogue that take from it. */
  readonly usedBy: readonly string[];
}

/** An overlay as a catalogue has it. */
export interface CataloguedOverlay {
  readonly folder: string;
  readonly overlay: string;
  readonly revision: string;
  readonly title: string;
  readonly digest: string;
  /** The pack that it is laid over. */
  readonly over: string;
}

/** Reads a library, and says which of the packs use it. */
export async function describeLibrary(
  folder: string,
  packs: readonly CataloguedPack[],
): Promise<CataloguedLibrary | Unreadable> {
  const { library, diagnostics } = await checkPack(folder);
  const faults = diagnostics.filter((one) => one.severity === 'error').length;
  if (library === undefined || faults > 0) return { folder, faults: Math.max(1, faults) };
  const { document } = await readPack(folder);
  const holds = namedSections.flatMap((section) => {
    const inside = document[section];
    const count = typeof inside === 'object' && inside !== null ? Object.keys(inside).length : 0;
    return count === 0 ? [] : [[section, count] as const];
  });
  const named = `${library.name} ${library.revision}`;
  const { name, ...rest } = library;
  return {
    folder,
    library: name,
    ...rest,
    holds: Object.fromEntries(holds),
    usedBy: packs.filter((one) => one.libraries.includes(named)).map((one) => `${one.pack} ${one.revision}`),
  };
}

/** Finds the pack that an overlay is laid over among the packs of the catalogue, and reads the two together. */
export async function describeOverlay(
  folder: string,
  packs: readonly CataloguedPack[],
): Promise<CataloguedOverlay | Unreadable> {
  for (const one of packs) {
    const { document, diagnostics } = await readPack(one.folder, { overlay: folder });
    if (diagnostics.some(({ severity }) => severity === 'error')) continue;
    const { overlaid } = validate(document).pack ?? {};
    if (overlaid === undefined) continue;
    const { overlay, revision, title, digest } = overlaid;
    return { folder, overlay, revision, title, digest, over: `${one.pack} ${one.revision}` };
  }
  return { folder, faults: 1 };
}
