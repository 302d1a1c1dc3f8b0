import type { Pack } from '@ferrule/engine';
import { deferral } from '@ferrule/engine/deferral';
import type { Positions } from '@ferrule/source';
import { accountOf, type Changelog } from './account/account.ts';
import { bumpOf } from './bump/bump.ts';
import { highest, needsOf } from './bump/needs.ts';
import type { Stated } from './change.ts';
import { findChanges } from './compare-packs.ts';
import type { Found } from './comparison.ts';
import type {
  ComparedChange,
  ComparedSide,
  ComparedStated,
  ComparisonDocument,
} from './document/generated/comparison-document.ts';
import { summaryOf } from './summary.ts';
import type { Documents } from './tell/subject.ts';
import { tellChange } from './tell/tell-change.ts';

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
  const bump = bumpOf(revisions.before, revisions.after, highest(changes.map(({ needs }) => needs)));
  const account = accountOf(after.changelog, revisions, both, comparison);
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
