import type { Seen } from './way.ts';

/** A cell that can have any of several values where everything else is the same. */
export interface OpenCell {
  readonly cell: number;
  /** In ascending order, at least two. The bytes of the control hold one of them. */
  readonly values: readonly number[];
}

/** Something that can be taken together with others that agree with it on everything but one cell. */
export interface Joinable {
  /** The cells that may be open and are live here, each with its values: the same cells in all that are joined. */
  readonly cells: readonly OpenCell[];
  readonly seen: Seen;
}

/**
 * Takes together what differs in one cell alone, again and again. `all` agree on everything else. Nothing is lost and
 * nothing is added by that: each combination of values that a joined one stands for was one of those given.
 */
export function joinPlaces<P extends Joinable>(all: readonly P[]): readonly P[] {
  let left: readonly P[] = all;
  const [first] = all;
  for (const [place, { cell }] of first?.cells.entries() ?? []) {
    const values = left[0]?.cells[place]?.values ?? [];
    if (left.length < 2 || left.every((one) => areSame(one.cells[place]?.values ?? [], values))) continue;
    const alike = new Map<string, P[]>();
    for (const one of left) {
      const rest = one.cells.map((open, at) => (at === place ? '*' : open.values)).join(' ');
      const group = alike.get(rest);
      if (group === undefined) alike.set(rest, [one]);
      else group.push(one);
    }
    left = [...alike.values()].map((group) => joined(group, cell, place));
  }
  return left;
}

const areSame = (some: readonly number[], others: readonly number[]): boolean =>
  some === others || (some.length === others.length && some.every((value, at) => value === others[at]));

function joined<P extends Joinable>(group: readonly P[], cell: number, place: number): P {
  const [first] = group;
  if (first === undefined) throw new Error('an empty group');
  if (group.length === 1) return first;
  // The lowest value is the usual one: its own part, the first answer. A way is told by it where it makes no difference.
  const from = group
    .map((one) => ({ values: one.cells[place]?.values ?? [], parent: one.seen }))
    .sort((a, b) => (a.values[0] ?? 0) - (b.values[0] ?? 0));
  const values = [...new Set(from.flatMap((one) => one.values))].sort((a, b) => a - b);
  const cells = first.cells.map((one) => (one.cell === cell ? { cell, values } : one));
  return { ...first, cells, seen: { seen: 'joined', cell, from } };
}
