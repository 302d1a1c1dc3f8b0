import { fileURLToPath } from 'node:url';
import { type Pack, type Plan, resolve } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, readPack } from '@ferrule/source';

export interface Opened {
  readonly pack: Pack;
  readonly digest: string;
}

/** A pack of this checkout. */
export async function openPack(name: string): Promise<Opened> {
  const folder = fileURLToPath(new URL(`../../../specs/${name}/1.0.0`, import.meta.url));
  const { document } = await readPack(folder);
  const { pack } = validate(document);
  if (pack === undefined) throw new Error(`${name} does not fit the format`);
  return { pack, digest: bundleOf(document).digest };
}

export function planOf(pack: Pack, procedure: string, variant: string): Plan {
  const { plan, diagnostics } = resolve(pack, { procedure, variant });
  if (plan === undefined) throw new Error(diagnostics[0]?.message ?? 'no plan');
  return plan;
}

/** What a page says, without its tags. */
export const textOf = (html: string): string =>
  html
    .replace(/<style>[\s\S]*?<\/style>/g, ' ')
    .replace(/<[^>]*>/g, ' ')
    .replaceAll('&quot;', '"')
    .replaceAll('&#39;', "'")
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&amp;', '&')
    .replace(/\s+/g, ' ');
