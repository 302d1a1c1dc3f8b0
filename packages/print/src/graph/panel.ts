import type { Piece } from './written-level.ts';

/** A part of the picture that is laid out by itself and stands in a column with others. */
export interface Panel {
  /** What it is a part of, from the outside in. */
  readonly title: string;
  readonly pieces: readonly Piece[];
}

/** Steps that a panel may have before it is split at the frames in it. */
const MOST_STEPS = 14;

/** Splits a procedure into panels that can be read one after the other: at frames, and never inside a loop or a choice. */
export const panelsOf = (pieces: readonly Piece[], title: string): readonly Panel[] => split(pieces, [title]);

function split(pieces: readonly Piece[], titles: readonly string[]): readonly Panel[] {
  const title = titles.slice(-2).join(' › ');
  if (countOf(pieces) <= MOST_STEPS) return [{ title, pieces }];
  const panels: Panel[] = [];
  let gathered: Piece[] = [];
  const flush = (): void => {
    if (gathered.length > 0) panels.push({ title, pieces: gathered });
    gathered = [];
  };
  for (const piece of pieces) {
    const count = countOf([piece]);
    const canSplit = piece.piece === 'frame' && piece.over === undefined && piece.onlyIf === '';
    if (canSplit && count + countOf(gathered) > MOST_STEPS) {
      flush();
      const inside = piece.title === '' ? titles : [...titles, piece.title];
      panels.push(...split(piece.inside, inside));
    } else {
      if (gathered.length > 0 && count + countOf(gathered) > MOST_STEPS) flush();
      gathered.push(piece);
    }
  }
  flush();
  return panels;
}

function countOf(pieces: readonly Piece[]): number {
  let count = 0;
  for (const piece of pieces) {
    if (piece.piece === 'frame') count += countOf(piece.inside);
    else if (piece.piece === 'choice') for (const one of piece.cases) count += countOf(one.inside);
    else count += 1;
  }
  return count;
}
