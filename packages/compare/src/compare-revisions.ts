import type { Pack } from '@ferrule/engine';
import { deferral } from '@ferrule/engine/deferral';
import type { Positions } from '@ferrule/source';
import { bumpOf } from './bump/bump.ts';
import { highest, needsOf } from './bump/needs.ts';
import type { Stated } from './change.ts';
import { findChanges } from './compare-packs.ts';
import type {
  ComparedChange,
  ComparedSide,
  ComparedStated,
  ComparisonDocument,
} from './document/generated/comparison-document.ts';
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
}

/** What one revision has otherwise than another, as plain data for whoever has seen neither. */
export function compareRevisions(before: Revision, after: Revision): ComparisonDocument {
  const comparison = findChanges(before.pack, after.pack);
  const changes = comparison.found.map((found): ComparedChange => {
    const { at: _, names: __, before: was, after: is, ...change } = found;
    return {
      ...change,
      says: tellChange(found, comparison),
      needs: needsOf(found),
      ...(was === undefined ? {} : { before: placed(was, before.positions) }),
      ...(is === undefined ? {} : { after: placed(is, after.positions) }),
    };
  });
  const bump = bumpOf(before.pack.revision, after.pack.revision, highest(changes.map((one) => one.needs)));
  return {
    format: comparisonFormat,
    deferral,
    pack: { id: after.pack.pack, title: after.pack.title },
    before: sideOf(before),
    after: sideOf(after),
    says: [bump.says],
    changes,
    bump,
    account: { changelog: 'not-looked-at', findings: [] },
  };
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
