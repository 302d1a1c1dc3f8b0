import { callFault, type Faulty } from '../pack/open-pack.ts';
import { policyFor } from '../pack/policy-for.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import type { Format } from '../terminal/format-option.ts';
import { progress, say, sayJson } from '../terminal/output.ts';
import { writeResult } from '../terminal/write-result.ts';
import { type CataloguedPack, describePack, type Unreadable } from './describe-pack.ts';
import {
  type CataloguedLibrary,
  type CataloguedOverlay,
  describeLibrary,
  describeOverlay,
} from './describe-shared.ts';
import { type Found, findFolders } from './find-folders.ts';
import { type Catalogue, writeCatalogue } from './write-catalogue.ts';

export interface CatalogueCall {
  readonly out?: string;
  readonly policy?: string;
  readonly format: Format;
}

/** Lists what stands in folders of packs: to a file, or to stdout where none is named. Exit code 1 where a pack cannot be read. */
export async function showCatalogue(folders: readonly string[], options: CatalogueCall): Promise<ExitCode> {
  const found: Found[] = [];
  for (const folder of folders) {
    const inside = await findFolders(folder);
    if (inside === undefined)
      return callFault(`there is no folder ${folder}. Name folders that hold packs, such as specs.`).exitCode;
    if (inside.length === 0)
      return callFault(
        `${folder} holds no pack: no folder in it, four levels deep, has a pack.yaml, library.yaml or overlay.yaml.`,
      ).exitCode;
    found.push(...inside.filter((one) => found.every((other) => other.folder !== one.folder)));
  }
  const catalogue = await describe(found, options);
  if ('exitCode' in catalogue) return catalogue.exitCode;
  const page = `${writeCatalogue(catalogue)}\n`;
  if (options.out !== undefined) {
    const failed = writeResult(options.out, page);
    if (failed !== undefined) return failed.exitCode;
  }
  if (options.format === 'json') sayJson(catalogue);
  else if (options.out === undefined) process.stdout.write(page);
  else say(`${options.out} written.`);
  return catalogue.unreadable.length > 0 ? 1 : 0;
}

async function describe(
  found: readonly Found[],
  { policy: named, format }: CatalogueCall,
): Promise<Catalogue | Faulty> {
  const packs: CataloguedPack[] = [];
  const libraries: CataloguedLibrary[] = [];
  const overlays: CataloguedOverlay[] = [];
  const unreadable: Unreadable[] = [];
  const add = <One extends object>(list: One[], one: One | Unreadable): void => {
    if ('faults' in one) unreadable.push(one);
    else list.push(one);
  };
  const foldersOf = (kind: Found['kind']): readonly string[] =>
    found.filter((one) => one.kind === kind).map((one) => one.folder);
  for (const folder of foldersOf('pack')) {
    progress(`reading ${folder}`);
    const policy = await policyFor(folder, named, format);
    if ('exitCode' in policy) return policy;
    add(packs, await describePack(folder, policy.policy));
  }
  for (const folder of foldersOf('library')) add(libraries, await describeLibrary(folder, packs));
  for (const folder of foldersOf('overlay')) add(overlays, await describeOverlay(folder, packs));
  return { packs, libraries, overlays, unreadable };
}
