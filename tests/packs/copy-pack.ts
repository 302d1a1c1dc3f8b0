import { cpSync, existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';

const specs = join(import.meta.dirname, '../../specs');

const revisions = readdirSync(specs).flatMap((name) =>
  readdirSync(join(specs, name)).map((revision) => `${name}/${revision}`),
);

/** The libraries of the checkout, each as `name/revision`. */
export const libraries = revisions.filter((one) => existsSync(join(specs, one, 'library.yaml')));

/** The packs of the checkout, each as `name/revision`. */
export const packs = revisions.filter((one) => existsSync(join(specs, one, 'pack.yaml')));

/** The overlays of the checkout, each as `name/revision`. */
export const overlays = revisions.filter((one) => existsSync(join(specs, one, 'overlay.yaml')));

/** Copies a pack with the libraries beside it into a folder, and returns the folder of the copy. */
export function copyPack(pack: string, into: string): string {
  for (const one of [pack, ...libraries]) cpSync(join(specs, one), join(into, one), { recursive: true });
  return join(into, pack);
}
