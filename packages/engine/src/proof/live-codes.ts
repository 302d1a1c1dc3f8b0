import type { OpenCell } from './joined-places.ts';
import type { LiveCell } from './liveness.ts';

/** More values than this of one cell cannot be told apart as a set. */
export const MOST_OPEN_VALUES = 13;

/** What tells two controls apart by their live cells, as text: a letter for each cell. */
export function codesOf(live: readonly LiveCell[], bytes: Uint8Array, open: readonly OpenCell[]): string {
  const codes: number[] = [];
  for (let place = 0; place < live.length; place++) {
    const one = live[place];
    if (one !== undefined) codes.push(one.classes[bytes[one.cell] ?? 0] ?? 0);
  }
  if (open.length > 0) {
    for (const [place, { cell, classes }] of live.entries()) {
      const values = open.find((one) => one.cell === cell)?.values;
      if (values !== undefined) codes[place] = classSet(values, classes);
    }
  }
  return lettersOf(codes);
}

/** Several classes as one code, beyond any that stands for a single one. */
function classSet(values: readonly number[], classes: Uint8Array): number {
  let bits = 0;
  for (const value of values) bits |= 1 << (classes[value] ?? 0);
  return (1 << (MOST_OPEN_VALUES + 1)) | bits;
}

const MOST_LETTERS = 10_000;

/** Many letters at once: a text that is put together letter by letter keeps all its parts, thirty times its size. */
export function lettersOf(codes: readonly number[] | Uint8Array): string {
  if (codes.length <= MOST_LETTERS) return String.fromCharCode(...codes);
  let text = '';
  for (let from = 0; from < codes.length; from += MOST_LETTERS)
    text += String.fromCharCode(...codes.slice(from, from + MOST_LETTERS));
  return text;
}
