import { hasTaken } from '../job/control.ts';
import { type Control, PHASE, progressOf, type Signal } from '../job/index.ts';
import { strikesOf } from '../job/signals.ts';
import { canBeTakenAgain } from '../job/struck.ts';
import { ENTRY, type Entry, type Plan } from '../model/plan.ts';
import type { OpenCell } from './joined-places.ts';
import { codesOf } from './live-codes.ts';
import type { LiveCell, Liveness } from './liveness.ts';
import { bodiesOf, decidedAnew, hasConsequences } from './strike-consequences.ts';

type Strike = Extract<Signal, { signal: 'struck' }>;

/** Where a strike is thought of. */
interface Here {
  readonly control: Control;
  readonly cells: readonly OpenCell[];
  /** What tells this place apart from others. */
  readonly key: string;
  /** The node at which the job stood before, −1 at the start. */
  readonly came: number;
  readonly changed: readonly number[] | undefined;
  readonly live: readonly LiveCell[];
}

/**
 * Which strikes an exploration has to try. Striking an entry and taking it again brings the job back to where it was; what
 * matters is the work that the strike may lead to instead, and that depends on a few cells only. So an entry is thought of
 * where one of these has changed, where it was taken, or where something has relied on it; and it is struck there unless it
 * was struck in the same circumstances before.
 */
export class Striking {
  readonly #plan: Plan;
  readonly #liveness: Liveness;
  readonly #tried = new Set<string>();
  readonly #strikeable: readonly number[];
  readonly #byCell = new Map<number, number[]>();
  readonly #byNode = new Map<number, number[]>();
  readonly #reworks: readonly string[];

  constructor(plan: Plan, liveness: Liveness) {
    this.#plan = plan;
    this.#liveness = liveness;
    this.#strikeable = plan.entries.flatMap((_, index) => (hasConsequences(plan, index) ? [index] : []));
    for (const index of this.#strikeable) {
      const entry = plan.entries[index];
      if (entry === undefined) continue;
      for (const cell of new Set([entry.cell, ...liveness.whenStruck(index).map((one) => one.cell)]))
        add(this.#byCell, cell, index);
      for (const node of new Set([...entry.takers, ...entry.judgedBy, ...entry.decides]))
        add(this.#byNode, node, index);
    }
    this.#reworks = plan.nodes.map((node) => {
      const inside: number[] = [];
      for (let one = plan.nodes[node.index]; one !== undefined; one = plan.nodes[one.parent])
        if (one.node === 'block' && one.resumes !== undefined) inside.push(one.index);
      return inside.join('.');
    });
  }

  /** The strikes to try at a place, each of which is not thought of again in the same circumstances. */
  candidates(here: Here): readonly Strike[] {
    const { control } = here;
    const out: Strike[] = [];
    for (const index of this.#thoughtOf(here)) {
      const entry = this.#plan.entries[index];
      if (entry === undefined || control.bytes[entry.cell] === ENTRY.none) continue;
      for (const strike of strikesOf(this.#plan, control, index)) {
        const circumstances = this.#circumstances(here, entry, strike);
        if (circumstances === undefined || this.#tried.has(circumstances)) continue;
        this.#tried.add(circumstances);
        out.push(strike);
      }
    }
    return out;
  }

  /** The cells that decide what a strike does at once. */
  cellsRead({ entry: index, node }: Strike): ReadonlySet<number> {
    const entry = this.#plan.entries[index];
    const read = new Set(this.#liveness.readAt(node));
    if (entry !== undefined) read.add(entry.cell);
    return read;
  }

  #thoughtOf({ control, changed, came }: Here): ReadonlySet<number> {
    if (changed === undefined) return new Set(this.#strikeable);
    const found = new Set<number>();
    for (const cell of changed) for (const index of this.#byCell.get(cell) ?? []) found.add(index);
    for (const index of this.#byNode.get(came) ?? []) found.add(index);
    const held = this.#plan.holds[control.hold]?.node;
    if (held !== undefined) for (const index of this.#byNode.get(held) ?? []) found.add(index);
    return found;
  }

  /** What decides what a strike leads to; undefined where it only has the same entry taken again. */
  #circumstances(here: Here, entry: Entry, { entry: index, node }: Strike): string | undefined {
    const { control, cells } = here;
    const where = `${control.hold >= 0} ${this.#reworks[control.at] ?? ''}`;
    const codes = codesOf(this.#liveness.whenStruck(index), control.bytes, cells);
    const isTakenAgain = hasTaken(this.#plan, control, entry, node);
    const canBeTaken = canBeTakenAgain(this.#plan, control, index, node);
    if (isTakenAgain && !canBeTaken) {
      const way = this.#wayOf(node);
      if (way !== undefined) return `${way} ${where} ${codes}`;
    } else if (isTakenAgain && decidedAnew(this.#plan, index).length === 0) return undefined;
    const relying = [...entry.judgedBy, ...entry.decides].map((one) => {
      const progress = progressOf(this.#plan, control, one);
      return progress >= PHASE.done ? 'd' : progress === PHASE.unstarted ? '' : progress;
    });
    const ahead = this.#changesAhead(here, index) ? here.key : '';
    return `${index} ${node} ${where} ${relying} ${codes} ${ahead}`;
  }

  readonly #ways = new Map<number, string | undefined>();

  /**
   * The way back of a step in a form that is the same for all steps whose ways back do the same and lead to the same place, with
   * everything from there on done again. Undefined where what was taken, or what relied on it, makes a difference.
   */
  #wayOf(taker: number): string | undefined {
    if (this.#ways.has(taker)) return this.#ways.get(taker);
    const { nodes, holds } = this.#plan;
    const step = nodes[taker];
    const struck = step?.node === 'step' ? step.struck : undefined;
    let way: string | undefined;
    if (struck !== undefined) {
      const hold = holds[struck.remedy === 'hold' ? struck.hold : struck.exhausted];
      const bodies = bodiesOf(this.#plan, struck).flatMap((body) => nodes[body] ?? []);
      const leadBeyond = bodies.every(
        (body) =>
          body.node === 'block' &&
          body.resumes !== undefined &&
          body.resumes.at <= taker &&
          body.resumes.until >= nodes.length,
      );
      const releases = hold?.releases.map((one) => (one.by === 'rework' ? one.by : `${one.by} ${one.role}`));
      if (leadBeyond)
        way = `${struck.remedy} ${releases} ${bodies.map((body) => shapeOf(this.#plan, body.index)).join(' / ')}`;
    }
    this.#ways.set(taker, way);
    return way;
  }

  /**
   * Whether another answer than before can make a difference beyond what is opened again: something that it has decided
   * writes what is still read ahead. Then every place has to be tried by itself.
   */
  #changesAhead({ control, live }: Here, index: number): boolean {
    const entry = this.#plan.entries[index];
    if (entry === undefined) return false;
    const decided = entry.decides.filter((node) => progressOf(this.#plan, control, node) >= PHASE.done);
    const isPart = entry.entry === 'identity';
    if (decided.length === 0 && !isPart) return false;
    const written = new Set<number>([entry.cell, ...entry.truths, ...(isPart ? [entry.partCell] : [])]);
    for (const node of decided) for (const cell of this.#writtenIn(node)) written.add(cell);
    return live.some(({ cell }) => written.has(cell));
  }

  readonly #written = new Map<number, readonly number[]>();

  /** The cells that the steps inside a node change or record. */
  #writtenIn(index: number): readonly number[] {
    const known = this.#written.get(index);
    if (known !== undefined) return known;
    const { nodes, entries } = this.#plan;
    const cells = new Set<number>();
    for (let at = index; at < (nodes[index]?.end ?? at); at++) {
      const node = nodes[at];
      if (node?.node !== 'step') continue;
      for (const effect of node.effects) cells.add(effect.cell);
      for (const cell of node.disturbs) cells.add(cell);
      for (const one of node.entries) {
        const entry = entries[one];
        if (entry === undefined) continue;
        for (const cell of [entry.cell, ...entry.truths]) cells.add(cell);
        if (entry.entry === 'identity') cells.add(entry.partCell);
      }
    }
    const made = [...cells];
    this.#written.set(index, made);
    return made;
  }
}

function add(lists: Map<number, number[]>, key: number, value: number): void {
  const list = lists.get(key);
  if (list === undefined) lists.set(key, [value]);
  else list.push(value);
}

/** What a body of work does, without saying where it stands or what it is called. */
function shapeOf(plan: Plan, body: number): string {
  const block = plan.nodes[body];
  return JSON.stringify(plan.nodes.slice(body, block?.end ?? body), (key, value: unknown) => {
    if (names.has(key)) return undefined;
    if (typeof value !== 'number') return value;
    return places.has(key) && value >= body && value <= (block?.end ?? body) ? `+${value - body}` : value;
  });
}

const names: ReadonlySet<string> = new Set([
  'id',
  'path',
  'pointer',
  'title',
  'bore',
  'parent',
  'says',
  'because',
]);
const places: ReadonlySet<string> = new Set(['index', 'end', 'next', 'first', 'body', 'otherwise']);
