import type { Effect, Guard, Plan, Test } from '../model/plan.ts';

/** More values than this of one cell are not told apart. */
const MOST_VALUES = 31;
const ANY = 0xffff_ffff >>> 1;

/**
 * Which values some cells may have where the job comes to a node, and where it has left it: a forward analysis that takes the
 * cells as independent of one another, so it never misses a value. `edges` says which nodes may follow which; places beyond the
 * nodes and the end only hand on what comes to them.
 */
export class MayValues {
  readonly #plan: Plan;
  readonly #places: ReadonlyMap<number, number>;
  readonly #before: Int32Array[];
  readonly #after: Int32Array[];

  constructor(
    plan: Plan,
    cells: readonly number[],
    places: number,
    edges: (node: number, may: MayValues) => readonly number[],
  ) {
    this.#plan = plan;
    this.#places = new Map(cells.map((cell, place) => [cell, place]));
    const none = (): Int32Array => new Int32Array(cells.length);
    this.#before = Array.from({ length: places }, none);
    this.#after = Array.from({ length: places }, none);
    const first = this.#before[0];
    cells.forEach((cell, place) => {
      if (first !== undefined) first[place] = bit(plan.starts[cell] ?? 0);
    });
    const waiting = [0];
    const isWaiting = new Set(waiting);
    for (let node = waiting.pop(); node !== undefined; node = waiting.pop()) {
      isWaiting.delete(node);
      const out = this.#leave(node);
      for (const to of edges(node, this)) {
        const into = this.#before[to];
        if (into === undefined || !spread(out, into) || isWaiting.has(to)) continue;
        isWaiting.add(to);
        waiting.push(to);
      }
    }
  }

  /** Whether guards may hold while the job is at a node. */
  mayHold(node: number, guards: readonly Guard[]): boolean {
    return guards.every(({ test }) => this.#may(node, test));
  }

  #may(node: number, test: Test): boolean {
    if ('cell' in test) {
      const place = this.#places.get(test.cell);
      if (place === undefined) return true;
      const values = (this.#before[node]?.[place] ?? 0) | (this.#after[node]?.[place] ?? 0);
      return (values & bits(test.among)) !== 0;
    }
    if ('all' in test) return test.all.every((one) => this.#may(node, one));
    if ('any' in test) return test.any.some((one) => this.#may(node, one));
    return this.#mayNot(node, test.not);
  }

  #mayNot(node: number, test: Test): boolean {
    if ('cell' in test) {
      const place = this.#places.get(test.cell);
      if (place === undefined) return true;
      const values = (this.#before[node]?.[place] ?? 0) | (this.#after[node]?.[place] ?? 0);
      return (values & ~bits(test.among)) !== 0;
    }
    if ('all' in test) return test.all.some((one) => this.#mayNot(node, one));
    if ('any' in test) return test.any.every((one) => this.#mayNot(node, one));
    return this.#may(node, test.not);
  }

  #keep(test: Test, values: Int32Array): void {
    if ('all' in test) for (const one of test.all) this.#keep(one, values);
    const place = 'cell' in test ? this.#places.get(test.cell) : undefined;
    if (place !== undefined && 'cell' in test) values[place] = (values[place] ?? 0) & bits(test.among);
  }

  /** What the cells may be behind a node, for whoever has done it or was led past it. */
  #leave(index: number): Int32Array {
    const node = this.#plan.nodes[index];
    const before = this.#before[index] ?? new Int32Array();
    const after = this.#after[index] ?? new Int32Array();
    if (node?.node !== 'step') {
      spread(before, after);
      return after;
    }
    const done = before.slice();
    // What it is done in is what its guards allow.
    for (const { test } of node.guards) this.#keep(test, done);
    for (const effect of node.effects) {
      const place = this.#places.get(effect.cell);
      if (place !== undefined) done[place] = (done[place] ?? 0) === 0 ? 0 : imageOf(effect, done[place] ?? 0);
    }
    spread(done, after);
    // A step that is passed over or left out leaves everything as it was, and a remedy may follow what was disturbed.
    if (node.onlyIf !== undefined || node.notApplicable !== undefined) spread(before, after);
    return after;
  }
}

function imageOf(effect: Effect, from: number): number {
  if ('to' in effect) return bit(effect.to);
  let image = 0;
  effect.table.forEach((to, value) => {
    if ((from & bit(value)) !== 0) image |= bit(to);
  });
  return image;
}

const bit = (value: number): number => (value < MOST_VALUES ? 1 << value : ANY);
const bits = (values: readonly number[]): number => values.reduce((all, value) => all | bit(value), 0);

/** Adds what one has to the other, and answers whether that was anything new. */
function spread(from: Int32Array, into: Int32Array): boolean {
  let isNew = false;
  for (let place = 0; place < from.length; place++) {
    const before = into[place] ?? 0;
    into[place] = before | (from[place] ?? 0);
    if (into[place] !== before) isNew = true;
  }
  return isNew;
}
