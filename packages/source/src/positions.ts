import type { Span } from '@ferrule/engine';
import { tokensOf } from './pointer.ts';
import { partOf, type Spot, spanOf } from './spot.ts';

/**
 * Where each value of the merged document was written. Pointers are RFC 6901; the answer is undefined for a
 * pointer to nothing, and for what stands in no file (the mapping that gathers all procedures).
 */
export interface Positions {
  /** The key that names the value; for a procedure or trial in its own file, the id that names it. */
  key(pointer: string): Span | undefined;
  /**
   * The value: a scalar with its quotes, a list or mapping from its first character to its last, a block of
   * text without its indicator, an alias where it stands.
   */
  value(pointer: string): Span | undefined;
  /**
   * The best place to point at: the value itself, or for a missing one the key (else the value) of the
   * nearest thing above it that stands in a file.
   */
  nearest(pointer: string): Span | undefined;
}

export function positionsOf(root: Spot): Positions {
  const trail = (pointer: string) => {
    const tokens = tokensOf(pointer) ?? [];
    const spots: Spot[] = [root];
    for (const token of tokens) {
      const next = partOf(spots[spots.length - 1] ?? root, token);
      if (next === undefined) break;
      spots.push(next);
    }
    return { spots, exact: spots.length === tokens.length + 1 && tokensOf(pointer) !== undefined };
  };
  const exactly = (pointer: string): Spot | undefined => {
    const { spots, exact } = trail(pointer);
    return exact ? spots[spots.length - 1] : undefined;
  };
  return {
    key: (pointer) => {
      const range = exactly(pointer)?.key;
      return range && spanOf(range);
    },
    value: (pointer) => {
      const range = exactly(pointer)?.value;
      return range && spanOf(range);
    },
    nearest: (pointer) => {
      const { spots, exact } = trail(pointer);
      const own = exact ? spots[spots.length - 1]?.value : undefined;
      if (own !== undefined) return spanOf(own);
      const above = spots.findLast((spot) => spot.key !== undefined || spot.value !== undefined);
      const range = above?.key ?? above?.value;
      return range && spanOf(range);
    },
  };
}
