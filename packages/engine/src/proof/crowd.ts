import type { Plan } from '../model/plan.ts';
import type { Liveness } from './liveness.ts';

/** The place of a plan with most states, and what tells them apart there. */
export interface Crowd {
  /** Path of the node; undefined for the end of the job. */
  readonly node?: string;
  readonly pointer: string;
  readonly states: number;
  /** Names of the cells that something later still reads and that differ among these states. */
  readonly live: readonly string[];
}

/** Finds where most of the keys of explored states stand. A key begins with node, phase, hold and end. */
export function crowdIn(plan: Plan, keys: ReadonlySet<string>, liveness: Liveness): Crowd {
  const counts = new Map<string, number>();
  for (const key of keys) {
    const place = placeIn(key);
    counts.set(place, (counts.get(place) ?? 0) + 1);
  }
  let most = '';
  for (const [place, count] of counts) if (count > (counts.get(most) ?? 0)) most = place;
  const [at = 0, phase = 0] = most.split(' ').map(Number);
  const live = liveness.at(at, phase);
  const found = live.map(() => new Set<number>());
  for (const key of keys) {
    if (placeIn(key) !== most) continue;
    for (const [index, values] of found.entries()) values.add(key.charCodeAt(most.length + index));
  }
  const names = live.flatMap(({ cell }, index) =>
    (found[index]?.size ?? 0) > 1 ? (plan.cells[cell]?.name ?? []) : [],
  );
  const node = plan.nodes[at];
  const states = counts.get(most) ?? 0;
  return node === undefined
    ? { pointer: plan.nodes[0]?.pointer ?? '', states, live: names }
    : { node: node.path, pointer: node.pointer, states, live: names };
}

/** The part of a key that says where the job is: up to its fourth space. */
function placeIn(key: string): string {
  let end = 0;
  for (let spaces = 0; spaces < 4; spaces++) end = key.indexOf(' ', end) + 1;
  return key.slice(0, end);
}
