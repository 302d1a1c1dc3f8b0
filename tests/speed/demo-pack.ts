import { type Pack, type Plan, Report, resolve } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { readPack } from '@ferrule/source';

/** The demonstration pack that is measured, and the procedure that is its main job. */
export const folder = 'specs/marram-unit-pumps/1.0.0';
const procedure = 'install-and-synchronise';

export async function readDemoPack(): Promise<Pack> {
  const { document, diagnostics } = await readPack(folder);
  const validated = validate(document);
  if (validated.pack === undefined) {
    throw new Error(JSON.stringify([...diagnostics, ...validated.diagnostics].slice(0, 5)));
  }
  return validated.pack;
}

export function planFor(pack: Pack, variant: string, report = new Report()): Plan {
  const { plan, diagnostics } = resolve(pack, { procedure, variant }, report);
  if (plan === undefined) throw new Error(JSON.stringify(diagnostics.slice(0, 5)));
  return plan;
}
