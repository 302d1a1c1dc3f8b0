import type { Pack } from '@ferrule/engine';
import { deferral } from '@ferrule/engine/deferral';
import type { Positions } from '@ferrule/source';
import { accountOf, type Changelog } from './account/account.ts';
import { bumpOf } from './bump/bump.ts';
import { highest, type Level, needsOf } from './bump/needs.ts';
import type { Stated } from './change.ts';
import { findChanges } from './compare-packs.ts';
import type { Found } from './comparison.ts';
import type {
  ComparedBump,
  ComparedChange,
  ComparedSide,
  ComparedStated,
  ComparisonDocument,
} from './document/generated/comparison-document.ts';
import { summaryOf } from './summary.ts';
import type { Documents } from './tell/subject.ts';
import { tellChange } from './tell/tell-change.ts';

type Overlaid = NonNullable<Pack['overlaid']>;

/** The version of the document that `compareRevisions` makes. */
export const comparisonFormat = 'ferrule-comparison-1';

/** A revision as it was read, without faults, with its libraries and its overlay in it. */
export interface Revision {
  /** The folder or the bundle as the user named it. */
  readonly name: string;
  readonly pack: Pack;
  readonly digest: string;
  /** Where everything is written; a bundle has no files. */
  readonly positions?: Positions;
  /** How it was released, in words. */
  readonly release: string;
  /** The changelog of its folder; undefined where there is no folder to look in. */
  readonly changelog?: Changelog;
}

/** What one revision has otherwise than another, as plain data for whoever has seen neither. */
export function compareRevisions(before: Revision, after: Revision): ComparisonDocument {
  const comparison = findChanges(before.pack, after.pack);
  const both = comparison.found.map(saidAlike).map((found) => ({
    found,
    change: changeOf(found, comparison, { before, after }),
  }));
  const changes = both.map(({ change }) => change);
  const revisions = { before: before.pack.revision, after: after.pack.revision };
  const needed = highest(changes.map(({ needs }) => needs));
  const laid = overlaysOf(before.pack, after.pack);
  const bump =
    laid === undefined
      ? bumpOf(revisions.before, revisions.after, needed)
      : overlayBump(laid, after.pack.revision, needed);
  // The changelog of a pack says nothing of what is laid over it.
  const account = accountOf(laid === undefined ? after.changelog : undefined, revisions, both, comparison);
  return {
    format: comparisonFormat,
    deferral,
    pack: { id: after.pack.pack, title: after.pack.title },
    before: sideOf(before),
    after: sideOf(after),
    says: summaryOf(changes, bump, account, before.digest === after.digest),
    changes,
    bump,
    account,
  };
}

interface Overlays {
  readonly before: Overlaid | undefined;
  readonly after: Overlaid | undefined;
}

/** The overlays, where it is these that differ and the pack below them is one and the same. */
function overlaysOf(before: Pack, after: Pack): Overlays | undefined {
  const laid = { before: before.overlaid, after: after.overlaid };
  return before.revision === after.revision && laid.before?.digest !== laid.after?.digest ? laid : undefined;
}

/** Of two revisions of one overlay the number of the overlay counts; of any other two there is none that could. */
function overlayBump({ before, after }: Overlays, revision: string, needed: Level): ComparedBump {
  if (before !== undefined && before.overlay === after?.overlay)
    return bumpOf(before.revision, after.revision, needed);
  const says = `Both are ${revision} of the pack, and it is the overlay that differs: no number says how much.`;
  return { called: 'none', needed, fits: true, says };
}

function changeOf(
  found: Found,
  documents: Documents,
  { before, after }: { readonly before: Revision; readonly after: Revision },
): ComparedChange {
  const { at: _, names: __, each: ___, before: was, after: is, ...change } = found;
  return {
    ...change,
    says: tellChange(found, documents),
    needs: needsOf(found),
    ...(was === undefined ? {} : { before: placed(was, before.positions) }),
    ...(is === undefined ? {} : { after: placed(is, after.positions) }),
  };
}

/** Of one value written twice, each with its own digits, the other system is said once: with the more digits. */
function saidAlike(change: Found): Found {
  const { before, after } = change;
  if (change.change !== 'restated' || before?.other === undefined || after?.other === undefined)
    return change;
  const other = before.other.length > after.other.length ? before.other : after.other;
  return { ...change, before: { ...before, other }, after: { ...after, other } };
}

function placed(stated: Stated, positions: Positions | undefined): ComparedStated {
  const span = positions?.nearest(stated.pointer);
  return span === undefined
    ? stated
    : { ...stated, place: { file: span.file, line: span.line, column: span.column } };
}

function sideOf({ name, pack, digest, release }: Revision): ComparedSide {
  const { overlaid, notice } = pack;
  return {
    name,
    revision: pack.revision,
    digest,
    release,
    ...(notice === undefined ? {} : { notice }),
    ...(overlaid === undefined
      ? {}
      : { overlay: { id: overlaid.overlay, revision: overlaid.revision, digest: overlaid.digest } }),
    libraries: Object.entries(pack.uses ?? {}).map(([id, { revision, digest: pinned }]) => ({
      id,
      revision,
      digest: pinned,
    })),
  };
}
