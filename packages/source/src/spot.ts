import type { SourceText } from './source-text.ts';

/** A stretch of one file, by offsets. */
export interface Range {
  readonly source: SourceText;
  readonly start: number;
  readonly end: number;
}

/**
 * Where a value stands, and under it where its parts stand. Something that the merge made up (the mapping of
 * all procedures) has no `value`; a list item has no `key`. What an alias repeats shares the parts of its anchor.
 */
export interface Spot {
  readonly key?: Range;
  readonly value?: Range;
  readonly parts?: ReadonlyMap<string, Spot> | readonly Spot[];
}

export const spanOf = (range: Range) => range.source.span(range.start, range.end);

const INDEX = /^(?:0|[1-9]\d*)$/;

export function partOf(spot: Spot, token: string): Spot | undefined {
  const { parts } = spot;
  if (parts === undefined) return undefined;
  if (!('length' in parts)) return parts.get(token);
  return INDEX.test(token) ? parts[Number(token)] : undefined;
}
