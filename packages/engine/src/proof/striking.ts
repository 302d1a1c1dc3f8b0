import { hasTaken } from '../job/control.ts';
import { type Control, PHASE, progressOf, type Signal } from '../job/index.ts';
import { strikesOf } from '../job/signals.ts';
import { canBeTakenAgain, firstStep, leadsBack } from '../job/struck.ts';
import { ENTRY, type Entry, type Plan } from '../model/plan.ts';
import type { OpenCell } from './joined-places.ts';
import { codesOf } from './live-codes.ts';
import type { LiveCell, Liveness } from './liveness.ts';
import { bodiesOf, decidedAnew, hasConsequences } from './strike-consequences.ts';
import { cellsOf } from './test-cells.ts';

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
    const disturbed = new Set(
      plan.nodes.flatMap((node) => (node.node === 'step' ? node.disturbs : [])).map(({ cell }) => cell),
    );
    this.#strikeable = plan.entries.flatMap(({ cell }, index) =>
      hasConsequences(plan, index) || disturbed.has(cell) ? [index] : [],
    );
    for (const index of this.#strikeable) {
      const entry = plan.entries[index];
      if (entry === undefined) continue;
      for (const cell of new Set([entry.cell, ...liveness.whenStruck(index).map((one) => one.cell)]))
        add(this.#byCell, cell, index);
      for (const node of new Set([...entry.takers, ...entry.judgedBy, ...entry.decides, ...entry.usedBy]))
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
    const codes = new Map<readonly LiveCell[], string>();
    for (const index of this.#thoughtOf(here)) {
      const entry = this.#plan.entries[index];
      if (entry === undefined || control.bytes[entry.cell] === ENTRY.none) continue;
      if (this.#isKnownWay(here, index, codes)) continue;
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
    const read = new Set(this.#gatesOf(node));
    if (entry === undefined) return read;
    read.add(entry.cell);
    for (const { test } of entry.guards) for (const cell of cellsOf(test)) read.add(cell);
    return read;
  }

  /** The nodes that a strike may bring the job to at once. */
  comesTo({ entry: index, node }: Strike): readonly number[] {
    const entry = this.#plan.entries[index];
    const step = this.#plan.nodes[node];
    const struck = step?.node === 'step' ? step.struck : undefined;
    return [
      ...(entry?.judgedBy ?? []),
      ...(entry?.decides ?? []),
      ...(entry?.usedBy ?? []),
      ...(struck === undefined ? [] : bodiesOf(this.#plan, struck)),
    ];
  }

  #thoughtOf({ control, changed, came }: Here): ReadonlySet<number> {
    if (changed === undefined) return new Set(this.#strikeable);
    const found = new Set<number>();
    for (const cell of changed) for (const index of this.#byCell.get(cell) ?? []) found.add(index);
    for (const index of this.#byNode.get(came) ?? []) found.add(index);
    for (const index of this.#byNode.get(control.at) ?? []) found.add(index);
    const held = this.#plan.holds[control.hold]?.node;
    if (held !== undefined) for (const index of this.#byNode.get(held) ?? []) found.add(index);
    return found;
  }

  /** What decides what a strike leads to; undefined where it only has the same entry taken again. */
  #circumstances(here: Here, entry: Entry, { entry: index, node }: Strike): string | undefined {
    const { control, cells } = here;
    const where = this.#where(control);
    if (this.#isDoneAgain(control.at, entry, node)) return undefined;
    const isTakenAgain = hasTaken(this.#plan, control, entry, node);
    if (isTakenAgain && !canBeTakenAgain(this.#plan, control, index, node)) {
      const step = this.#plan.nodes[node];
      // A strike that nothing leads on from is refused. What open cells decide is looked at when it is tried.
      const isSettled = cells.every(({ cell }) => !this.#gatesOf(node).has(cell));
      if (isSettled && step?.node === 'step' && !leadsBack(this.#plan, step.struck, control.bytes))
        return undefined;
      const way = this.#wayOf(node);
      if (way !== undefined)
        return `${way} ${this.#whereBack(control, node)} ${codesOf(this.#liveness.whenBack(node), control.bytes, cells)}`;
    } else if (entry.entry === 'reading' && control.bytes[entry.cell] === ENTRY.stale) {
      // What was stale and is taken again counts anew: that brings the job to where it has not been.
      return `${index} ${node} stale ${here.key}`;
    } else if (isTakenAgain && this.#decidesNothing(index)) return undefined;
    const codes = codesOf(this.#liveness.whenStruck(index), control.bytes, cells);
    const relying = [...entry.judgedBy, ...entry.decides, ...entry.usedBy].map((one) => {
      const progress = progressOf(this.#plan, control, one);
      return progress >= PHASE.done ? 'd' : progress === PHASE.unstarted ? '' : progress;
    });
    const ahead = this.#changesAhead(here, index) ? here.key : '';
    return `${index} ${node} ${where} ${relying} ${codes} ${ahead}`;
  }

  /** Whether a rework is under way that comes past the step again and needs what it took for nothing before. */
  #isDoneAgain(at: number, entry: Entry, taker: number): boolean {
    const { nodes } = this.#plan;
    for (let node = nodes[at]; node !== undefined; node = nodes[node.parent]) {
      if (node.node !== 'block' || node.resumes === undefined) continue;
      const { index, end, resumes } = node;
      const isInside = (one: number): boolean => index <= one && one < end;
      if (isInside(taker) || [...entry.judgedBy, ...entry.decides, ...entry.usedBy].some(isInside))
        return false;
      if (resumes.at <= taker && taker < resumes.until) return true;
    }
    return false;
  }

  /** In which reworks the job is. */
  #where(control: Control): string {
    return `${control.hold >= 0} ${this.#reworks[control.at] ?? ''}`;
  }

  /** The same for a way back: it leads out of every rework that belongs to a step behind the one that it leads back to. */
  #whereBack(control: Control, taker: number): string {
    let outermost = this.#plan.nodes.length;
    for (let node = this.#plan.nodes[control.at]; node !== undefined; node = this.#plan.nodes[node.parent])
      if (node.node === 'block' && node.resumes !== undefined) outermost = node.parent;
    return taker < outermost ? `${control.hold >= 0}` : this.#where(control);
  }

  /**
   * Whether the way back of an entry was gone before in the same circumstances, and nothing else can come of striking it. This
   * is asked very often, so it is asked first.
   */
  #isKnownWay({ control, cells }: Here, index: number, codes: Map<readonly LiveCell[], string>): boolean {
    const takers = this.#plan.entries[index]?.takers ?? [];
    const [taker] = takers;
    if (taker === undefined || takers.length > 1 || !this.#decidesNothing(index)) return false;
    const way = this.#wayOf(taker);
    const cell = this.#plan.entries[index]?.cell ?? 0;
    if (way === undefined || control.bytes[cell] === ENTRY.stale) return false;
    const live = this.#liveness.whenBack(taker);
    const code = codes.get(live) ?? codesOf(live, control.bytes, cells);
    codes.set(live, code);
    return this.#tried.has(`${way} ${this.#whereBack(control, taker)} ${code}`);
  }

  readonly #gates = new Map<number, ReadonlySet<number>>();

  /** The cells that say whether the way back of a step can be begun. */
  #gatesOf(taker: number): ReadonlySet<number> {
    const known = this.#gates.get(taker);
    if (known !== undefined) return known;
    const step = this.#plan.nodes[taker];
    const struck = step?.node === 'step' ? step.struck : undefined;
    const guards = (struck === undefined ? [] : bodiesOf(this.#plan, struck)).flatMap((body) => {
      const first = firstStep(this.#plan, body);
      return first === undefined ? [] : [...first.guards, ...first.invariants];
    });
    const gates = new Set(guards.flatMap(({ test }) => [...cellsOf(test)]));
    this.#gates.set(taker, gates);
    return gates;
  }

  readonly #deciding = new Map<number, boolean>();

  #decidesNothing(index: number): boolean {
    const known = this.#deciding.get(index) ?? decidedAnew(this.#plan, index).length === 0;
    this.#deciding.set(index, known);
    return known;
  }

  readonly #ways = new Map<number, number | undefined>();
  readonly #wayNumbers = new Map<string, number>();

  #numberOf(way: string): number {
    const number = this.#wayNumbers.get(way) ?? this.#wayNumbers.size;
    this.#wayNumbers.set(way, number);
    return number;
  }

  /**
   * The way back of a step in a form that is the same for all steps whose ways back do the same and lead to the same place, with
   * everything from there on done again. Undefined where what was taken, or what relied on it, makes a difference.
   */
  #wayOf(taker: number): number | undefined {
    if (this.#ways.has(taker)) return this.#ways.get(taker);
    const { nodes, holds } = this.#plan;
    const step = nodes[taker];
    const struck = step?.node === 'step' ? step.struck : undefined;
    let way: number | undefined;
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
        way = this.#numberOf(
          `${struck.remedy} ${releases} ${bodies.map((body) => shapeOf(this.#plan, body.index)).join(' / ')}`,
        );
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
      for (const { cell, noted } of node.disturbs) cells.add(cell).add(noted);
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
