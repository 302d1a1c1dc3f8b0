import { join } from 'node:path';
import { type Pack, type Plan, resolve } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { type Bundle, bundleOf, readPack } from '@ferrule/source';

export const inventedProcedure = { procedure: 'survey', variant: 'marram-six' } as const;

/** The folder of a revision of the invented pack, from the root of the checkout. */
export const inventedFolder = (revision: '1.0.0' | '1.1.0'): string =>
  join('tests/compare/invented', revision);

/** A revision of the invented pack, with its bundle and the plan of its one procedure. */
export async function readInvented(revision: '1.0.0' | '1.1.0'): Promise<{
  readonly pack: Pack;
  readonly plan: Plan;
  readonly bundle: Bundle;
}> {
  const { document, diagnostics } = await readPack(inventedFolder(revision));
  const { pack, diagnostics: wrong } = validate(document);
  if (pack === undefined) throw new Error(JSON.stringify([...diagnostics, ...wrong]));
  const { plan } = resolve(pack, inventedProcedure);
  if (plan === undefined) throw new Error(`${revision} has no plan`);
  return { pack, plan, bundle: bundleOf(document) };
}
