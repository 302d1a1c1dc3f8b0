import type { Pack } from './generated/document.ts';
import { pointerTo } from './pointer.ts';
import type { Report } from './report.ts';

/** Sections that only name things. They can be shared between packs, and a shop can add to them. */
const sharedSections = [
  'roles',
  'conditions',
  'hazards',
  'equipment',
  'supplies',
  'instruments',
  'tables',
  'joints',
  'stock',
  'fields',
  'procedures',
] as const;

/** Names that several packs share. Its procedures are groups of steps that a pack may perform. */
export type Library = { readonly library: string; readonly revision: string } & Partial<
  Pick<Pack, (typeof sharedSections)[number]>
>;

/** What a shop adds to a released pack. It can only add names: nothing in it can replace what the pack says. */
export type Overlay = { readonly overlay: string; readonly revision: string } & Partial<
  Pick<Pack, 'conditions' | 'hazards' | 'equipment' | 'supplies' | 'instruments'>
>;

/**
 * One pack from a pack, its libraries and an overlay. A name that two of them declare is reported, and the pack's own is
 * kept: nothing is ever replaced in silence. A job pins the digest of all of it.
 */
export function assemble(
  pack: Pack,
  more: { readonly libraries?: readonly Library[]; readonly overlay?: Overlay },
  report: Report,
): Pack {
  let whole = pack;
  for (const library of more.libraries ?? [])
    whole = add(whole, library, `library ${library.library}`, report);
  const { overlay } = more;
  return overlay === undefined ? whole : add(whole, overlay, `overlay ${overlay.overlay}`, report);
}

function add(pack: Pack, more: Library | Overlay, from: string, report: Report): Pack {
  let merged = pack;
  for (const section of sharedSections) {
    const own: Readonly<Record<string, unknown>> = pack[section] ?? {};
    const added: Readonly<Record<string, unknown>> =
      section in more ? ((more as Library)[section] ?? {}) : {};
    for (const name of Object.keys(added)) {
      if (!Object.hasOwn(own, name)) continue;
      report.add('duplicate-name', pointerTo('', section, name), `The ${from} declares ${name} as well.`, {
        remedy: 'Give one of them another name.',
      });
    }
    if (Object.keys(added).length > 0) merged = { ...merged, [section]: { ...added, ...own } };
  }
  return merged;
}
