import type { Checks } from './checks.ts';
import type { Entries } from './entries.ts';
import type { Frame } from './frame.ts';
import type { Node, Pack } from './generated/document.ts';
import type { Laws } from './laws.ts';
import type { Outline } from './outline.ts';
import type { PackNames } from './pack-names.ts';
import type { Report } from './report.ts';
import type { ResolvedVariant } from './resolve-variant.ts';
import type { ExpressionRewriter } from './rewrite-expression.ts';
import type { Selections } from './selections.ts';
import type { Tracked } from './tracked.ts';

/** What is made for a plan before its steps are written out. */
export interface Parts {
  readonly pack: Pack;
  readonly variant: ResolvedVariant;
  readonly tracked: Tracked;
  readonly entries: Entries;
  readonly rewriter: ExpressionRewriter;
  readonly checks: Checks;
  readonly laws: Laws;
  readonly selections: Selections;
  readonly report: Report;
}

/** What the writers of the several kinds of node share while the steps of one plan are written out. */
export interface Writing extends Parts {
  readonly outline: Outline;
  readonly names: PackNames;
  /** Writes nodes of any kind out inside a block. */
  readonly body: (
    parent: number,
    nodes: readonly Node[],
    path: string,
    frame: Frame,
    pointer: string,
  ) => void;
}
