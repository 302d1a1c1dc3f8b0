import { pointerTo } from '@ferrule/engine';
import { isMapping, listOf, type Mapping, mappingOf } from './json.ts';
import { renamedPairs } from './likeness.ts';
import { normal } from './quantities.ts';

const kinds = ['step', 'block', 'each', 'perform', 'choose', 'hold'] as const;
export type NodeKind = (typeof kinds)[number];

/** A step, or something that holds steps together, where it stands in one revision. */
export interface Placed {
  readonly kind: NodeKind;
  readonly id: string;
  readonly value: Mapping;
  readonly pointer: string;
  /** Ids from the outside in: `tighten/each-bore`. */
  readonly path: string;
  /** The bodies of nodes in it, by what they are for. */
  readonly bodies: readonly Body[];
}

export interface Body {
  /** What it is for: `steps`, `if-nonconforming/rework`. A case of a choice is known by its condition. */
  readonly slot: string;
  readonly nodes: readonly Placed[];
}

/** The nodes of a list, each with all that is in it. */
export function placeNodes(list: unknown, pointer: string, above = ''): readonly Placed[] {
  return listOf(list).flatMap((value, index) => {
    const kind = isMapping(value) ? kindOf(value) : undefined;
    if (!isMapping(value) || kind === undefined) return [];
    const at = pointerTo(pointer, index);
    const id = idOf(kind, value);
    const path = above === '' ? id : `${above}/${id}`;
    return [{ kind, id, value, pointer: at, path, bodies: bodiesOf(value, at, path) }];
  });
}

const kindOf = (value: Mapping): NodeKind | undefined =>
  (['perform', 'choose', 'each', 'block', 'hold', 'step'] as const).find((key) => Object.hasOwn(value, key));

function idOf(kind: NodeKind, value: Mapping): string {
  const named =
    kind === 'each'
      ? (value['id'] ?? value['each'])
      : kind === 'perform'
        ? (value['as'] ?? value['perform'])
        : value[kind];
  return String(named);
}

function bodiesOf(value: Mapping, pointer: string, path: string): readonly Body[] {
  const body = (slot: string, list: unknown, at: string): readonly Body[] =>
    list === undefined ? [] : [{ slot, nodes: placeNodes(list, at, path) }];
  const cases = listOf(value['cases']).flatMap((one, index) => {
    const { when, steps } = mappingOf(one);
    return body(`when ${normal(when)}`, steps, pointerTo(pointer, 'cases', index, 'steps'));
  });
  return [
    ...body('steps', value['steps'], pointerTo(pointer, 'steps')),
    ...cases,
    ...body('otherwise', value['otherwise'], pointerTo(pointer, 'otherwise')),
    ...['if-nonconforming', 'if-inconclusive', 'if-struck'].flatMap((key) =>
      remedyBodies(value[key], key, pointerTo(pointer, key), path),
    ),
  ];
}

function remedyBodies(value: unknown, slot: string, pointer: string, path: string): readonly Body[] {
  if (!isMapping(value)) return [];
  const remedy = value;
  const sides = ['when-high', 'when-low'].flatMap((side) =>
    remedyBodies(remedy[side], `${slot}/${side}`, pointerTo(pointer, side), path),
  );
  return remedy['rework'] === undefined
    ? sides
    : [
        ...sides,
        { slot: `${slot}/rework`, nodes: placeNodes(remedy['rework'], pointerTo(pointer, 'rework'), path) },
      ];
}

export interface NodePair {
  readonly before: Placed;
  readonly after: Placed;
  /** It stands in another order, or in another body. */
  readonly isMoved: boolean;
}

/** What became of the nodes of a procedure. What is in a node that is gone, or new, is not listed by itself. */
export interface NodeMatch {
  readonly pairs: readonly NodePair[];
  readonly gone: readonly Placed[];
  readonly come: readonly Placed[];
}

/**
 * Matches two bodies of nodes: by kind and name where they stand, then anywhere in the procedure (moved), then by what they
 * say among those that stand at the same place (renamed). Of those that have changed order, as few as possible count as moved.
 */
export function matchNodes(before: readonly Placed[], after: readonly Placed[]): NodeMatch {
  const pairs: NodePair[] = [];
  const gone: Placed[] = [];
  const come: Placed[] = [];
  const into = (was: readonly Placed[], is: readonly Placed[]): void => {
    const here = pairsAt(was, is);
    const stays = inOrder(here.map(({ after: one }) => is.indexOf(one)));
    here.forEach((pair, index) => {
      pairs.push({ ...pair, isMoved: !stays.has(index) });
      inside(pair);
    });
    gone.push(...was.filter((one) => !here.some((pair) => pair.before === one)));
    come.push(...is.filter((one) => !here.some((pair) => pair.after === one)));
  };
  const inside = (pair: { readonly before: Placed; readonly after: Placed }): void => {
    for (const [was, is] of bodyPairs(pair.before.bodies, pair.after.bodies)) into(was, is);
  };
  into(before, after);
  // A name that is gone here and new there has moved, if it is the only one of that name.
  for (const one of [...gone]) {
    const same = come.filter(({ kind, id }) => kind === one.kind && id === one.id);
    const rivals = gone.filter(({ kind, id }) => kind === one.kind && id === one.id);
    const [to] = same;
    if (to === undefined || same.length > 1 || rivals.length > 1) continue;
    gone.splice(gone.indexOf(one), 1);
    come.splice(come.indexOf(to), 1);
    pairs.push({ before: one, after: to, isMoved: true });
    inside({ before: one, after: to });
  }
  return { pairs, gone, come };
}

function pairsAt(
  was: readonly Placed[],
  is: readonly Placed[],
): readonly { before: Placed; after: Placed }[] {
  const pairs: { before: Placed; after: Placed }[] = [];
  const left = [...is];
  const rest: Placed[] = [];
  for (const before of was) {
    const found = left.find(({ kind, id }) => kind === before.kind && id === before.id);
    if (found === undefined) rest.push(before);
    else {
      left.splice(left.indexOf(found), 1);
      pairs.push({ before, after: found });
    }
  }
  for (const kind of kinds) {
    const only = (list: readonly Placed[]) =>
      new Map(list.filter((one) => one.kind === kind).map((one) => [one.pointer, withoutName(one)]));
    for (const pair of renamedPairs(only(rest), only(left))) {
      const before = rest.find(({ pointer }) => pointer === pair.before);
      const after = left.find(({ pointer }) => pointer === pair.after);
      if (before !== undefined && after !== undefined) pairs.push({ before, after });
    }
  }
  return pairs.sort((a, b) => was.indexOf(a.before) - was.indexOf(b.before));
}

const withoutName = ({ kind, value }: Placed): Mapping => {
  const { [kind]: _, ...rest } = value;
  return rest;
};

/** Bodies for the same purpose; of a choice, cases of the same condition, and the rest in the order in which they stand. */
function bodyPairs(
  before: readonly Body[],
  after: readonly Body[],
): readonly (readonly [readonly Placed[], readonly Placed[]])[] {
  const pairs: (readonly [readonly Placed[], readonly Placed[]])[] = [];
  const left = [...after];
  const rest: Body[] = [];
  for (const one of before) {
    const found = left.find(({ slot }) => slot === one.slot);
    if (found === undefined) rest.push(one);
    else {
      left.splice(left.indexOf(found), 1);
      pairs.push([one.nodes, found.nodes]);
    }
  }
  for (const one of rest) {
    const isCase = one.slot.startsWith('when ');
    const at = left.findIndex(({ slot }) => isCase === slot.startsWith('when '));
    const [found] = at < 0 ? [] : left.splice(at, 1);
    pairs.push([one.nodes, found?.nodes ?? []]);
  }
  for (const one of left) pairs.push([[], one.nodes]);
  return pairs;
}

/** Places in a list of positions that form its longest ascending run, so that the others are the fewest that moved. */
function inOrder(positions: readonly number[]): ReadonlySet<number> {
  const length: number[] = [];
  const from: number[] = [];
  let best = -1;
  positions.forEach((position, index) => {
    length[index] = 1;
    from[index] = -1;
    for (let earlier = 0; earlier < index; earlier++) {
      if ((positions[earlier] ?? 0) < position && (length[earlier] ?? 0) + 1 > (length[index] ?? 0)) {
        length[index] = (length[earlier] ?? 0) + 1;
        from[index] = earlier;
      }
    }
    if (best < 0 || (length[index] ?? 0) > (length[best] ?? 0)) best = index;
  });
  const stays = new Set<number>();
  for (let at = best; at >= 0; at = from[at] ?? -1) stays.add(at);
  return stays;
}
