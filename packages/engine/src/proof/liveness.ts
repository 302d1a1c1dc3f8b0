import { PHASE } from '../job/index.ts';
import { ENTRY, type Guard, type Plan, type PlanNode, type StepNode, type Test } from '../model/plan.ts';
import { reliedOn } from '../model/relied-on.ts';
import { MayValues } from './may-values.ts';
import {
  bodiesBack,
  bodiesOf,
  decidedAnew,
  remediesOf,
  type WayBack,
  waysBack,
} from './strike-consequences.ts';
import { cellsOf } from './test-cells.ts';

/** What tells the values of a cell apart at one place of a plan: values of one class lead to the same future. */
export interface LiveCell {
  readonly cell: number;
  /** Class of each value. */
  readonly classes: Uint8Array;
}

/**
 * Which cells can still matter at each place of a plan, and which of their values make a difference there: a backward
 * analysis (live variables) over everything that a later step, law, check or declared end reads. Two controls that agree
 * on it have the same future, so exploring one of them is enough. Counters are left out: see `explore`.
 */
export class Liveness {
  readonly #plan: Plan;
  readonly #atoms: { readonly cell: number; readonly among: readonly number[] | undefined }[] = [];
  readonly #atomKeys = new Map<string, number>();
  readonly #atomsOf = new Map<number, number[]>();
  /** What a node reads of what was there when the job came to it. */
  readonly #uses: Set<number>[];
  /** What a step reads of its own entries: it forgets them when it is entered, and reads them only once they are taken. */
  readonly #own: ReadonlySet<number>[];
  readonly #before: readonly Bits[];
  readonly #after: readonly Bits[];
  /** What matters to whoever strikes an entry later on; each stands for the ones before it too. */
  readonly #strikes: readonly Strikes[];
  readonly #ends: ReadonlySet<number>;
  readonly #decisions: readonly ReadonlySet<number>[];
  readonly #reads = new Map<number, ReadonlySet<number>>();
  readonly #at: (readonly LiveCell[] | undefined)[] = [];
  readonly #known = new Map<string, readonly LiveCell[]>();
  readonly #knownCells = new Map<string, LiveCell>();
  readonly #knownByBits = new Map<string, readonly LiveCell[]>();

  constructor(plan: Plan) {
    this.#plan = plan;
    const ends = new Set<number>();
    for (const guard of plan.ends) this.#read(guard.test, ends);
    this.#ends = ends;
    this.#decisions = plan.nodes.map((node) => this.#decisionsOf(node));
    this.#uses = plan.nodes.map((node) => this.#usesOf(node));
    this.#own = plan.nodes.map((node) => this.#ownOf(node));
    // Every atom is known by now. Plans may have very many nodes with very many of them: a bit each.
    const none = (): Bits => new Uint32Array(Math.ceil(this.#atoms.length / 32));
    this.#after = plan.nodes.map(none);
    this.#before = [...plan.nodes.map(none), withBits(none(), ends)];
    this.#strikes = this.#strikesOf(none);
    this.#spread(none);
  }

  /** The cells that matter where a node is in a phase; for the place after the last node, at the end. */
  at(node: number, phase: number): readonly LiveCell[] {
    const acted = phase > PHASE.act && phase < PHASE.done;
    const place = node * 2 + (acted ? 1 : 0);
    const known = this.#at[place];
    if (known !== undefined) return known;
    let live = (acted ? this.#after[node] : this.#before[node]) ?? new Uint32Array();
    if (acted) live = withBits(withBits(live.slice(), this.#uses[node] ?? []), this.#own[node] ?? []);
    const made = this.#remember(`${node} ${acted}`, live);
    this.#at[place] = made;
    return made;
  }

  /** The cells that matter at one of several places, each a node and a phase. */
  together(places: readonly (readonly [node: number, phase: number])[]): readonly LiveCell[] {
    const key = places
      .map(([node, phase]) => `${node} ${phase > PHASE.act && phase < PHASE.done}`)
      .join(' + ');
    const known = this.#known.get(key);
    if (known !== undefined) return known;
    const all = new Uint32Array(Math.ceil(this.#atoms.length / 32));
    for (const [node, phase] of places) {
      const acted = phase > PHASE.act && phase < PHASE.done;
      include(all, (acted ? this.#after[node] : this.#before[node]) ?? new Uint32Array());
      if (acted) withBits(withBits(all, this.#uses[node] ?? []), this.#own[node] ?? []);
    }
    return this.#remember(key, all);
  }

  /** What matters to the ways back of a step when one of its entries is struck. */
  whenBack(taker: number): readonly LiveCell[] {
    const key = `back ${taker}`;
    const known = this.#known.get(key);
    if (known !== undefined) return known;
    const all = new Uint32Array(Math.ceil(this.#atoms.length / 32));
    const step = this.#plan.nodes[taker];
    const struck = step?.node === 'step' ? step.struck : undefined;
    for (const body of struck === undefined ? [] : bodiesOf(this.#plan, struck))
      include(all, this.#before[body] ?? new Uint32Array());
    return this.#remember(key, all);
  }

  /** What matters when an entry is struck: whether it can be taken again, and the work that it may lead to. */
  whenStruck(entry: number): readonly LiveCell[] {
    const key = `struck ${entry}`;
    const known = this.#known.get(key);
    if (known !== undefined) return known;
    const all = new Uint32Array(Math.ceil(this.#atoms.length / 32));
    const guarding = new Set<number>();
    for (const guard of this.#plan.entries[entry]?.guards ?? []) this.#read(guard.test, guarding);
    withBits(all, guarding);
    include(all, this.#readAnew(entry, all.slice().fill(0)));
    for (const body of bodiesBack(this.#plan, entry)) include(all, this.#before[body] ?? new Uint32Array());
    return this.#remember(key, all);
  }

  /** The cells that a node itself looks at, its own entries among them; for the place after the last node, the declared ends. */
  usesAt(node: number): ReadonlySet<number> {
    const known = this.#reads.get(node);
    if (known !== undefined) return known;
    const isEnd = node >= this.#plan.nodes.length;
    const atoms = isEnd ? [...this.#ends] : [...(this.#uses[node] ?? []), ...(this.#own[node] ?? [])];
    const made = new Set(atoms.map((atom) => this.#atoms[atom]?.cell ?? 0));
    this.#reads.set(node, made);
    return made;
  }

  /** The cells that decide whether a node is passed over, and which of its cases is taken. */
  decisionCells(node: number): readonly number[] {
    return [...(this.#decisions[node] ?? [])].map((atom) => this.#atoms[atom]?.cell ?? 0);
  }

  #remember(key: string, bits: Bits): readonly LiveCell[] {
    // Most places have the same live cells as the one before.
    const shape = bits.join(' ');
    const made = this.#knownByBits.get(shape) ?? this.#cells(bits);
    this.#known.set(key, made);
    this.#knownByBits.set(shape, made);
    return made;
  }

  #cells(live: Bits): readonly LiveCell[] {
    const byCell = new Map<number, number[]>();
    for (const [index, { cell }] of this.#atoms.entries()) {
      if (((live[index >> 5] ?? 0) & (1 << (index & 31))) === 0) continue;
      const here = byCell.get(cell);
      if (here === undefined) byCell.set(cell, [index]);
      else here.push(index);
    }
    return [...byCell].sort(([a], [b]) => a - b).map(([cell, atoms]) => this.#live(cell, atoms));
  }

  /** A cell as some of its atoms tell it apart; made once, since very many places share it. */
  #live(cell: number, atoms: readonly number[]): LiveCell {
    const key = atoms.join(' ');
    const known = this.#knownCells.get(key);
    if (known !== undefined) return known;
    const made = {
      cell,
      classes: this.#classes(
        cell,
        atoms.map((one) => this.#atoms[one]?.among),
      ),
    };
    this.#knownCells.set(key, made);
    return made;
  }

  /** Values that no test tells apart get one class; a test without a list tells all values apart. */
  #classes(cell: number, tests: readonly (readonly number[] | undefined)[]): Uint8Array {
    const said = this.#plan.cells[cell];
    // Of a counter it is told apart only whether anything was counted.
    const size = said === undefined ? 1 : said.cell === 'counter' ? 2 : said.values.length;
    const classes = new Uint8Array(size);
    const names = new Map<string, number>();
    for (let value = 0; value < size; value++) {
      const name = tests
        .map((among) => (among === undefined ? value : among.includes(value) ? '+' : '-'))
        .join(' ');
      const known = names.get(name);
      classes[value] = known ?? names.size;
      if (known === undefined) names.set(name, names.size);
    }
    return classes;
  }

  #atom(cell: number, among: readonly number[] | undefined): number {
    const key = `${cell} ${among === undefined ? '' : [...among].sort((a, b) => a - b).join(',')}`;
    const known = this.#atomKeys.get(key);
    if (known !== undefined) return known;
    const index = this.#atoms.length;
    this.#atoms.push({ cell, among });
    this.#atomKeys.set(key, index);
    this.#atomsOf.set(cell, [...(this.#atomsOf.get(cell) ?? []), index]);
    return index;
  }

  #read(test: Test, into: Set<number>): void {
    if ('cell' in test) into.add(this.#atom(test.cell, test.among));
    else if ('not' in test) this.#read(test.not, into);
    else for (const one of 'all' in test ? test.all : test.any) this.#read(one, into);
  }

  #decisionsOf(node: PlanNode): ReadonlySet<number> {
    const uses = new Set<number>();
    const exactly = (cell: number | undefined): void => {
      if (cell !== undefined) uses.add(this.#atom(cell, undefined));
    };
    const decision = (one: PlanNode['onlyIf']): void => {
      if (one?.by === 'test') {
        this.#read(one.test, uses);
        for (const cell of one.needs ?? []) uses.add(this.#atom(cell, [ENTRY.none]));
      } else if (one !== undefined) this.#readCondition(one.condition, exactly);
    };
    decision(node.onlyIf);
    if (node.node === 'choose') for (const one of node.cases) decision(one.when);
    return uses;
  }

  #usesOf(node: PlanNode): Set<number> {
    const uses = new Set(this.#decisions[node.index]);
    if (node.node !== 'step') return uses;
    const exactly = (cell: number | undefined): void => {
      if (cell !== undefined) uses.add(this.#atom(cell, undefined));
    };
    const guards = (all: readonly Guard[]): void => {
      for (const guard of all) this.#read(guard.test, uses);
    };
    guards(node.guards);
    guards(node.invariants);
    for (const effect of node.effects) if ('table' in effect) exactly(effect.cell);
    for (const { cell } of node.disturbs) exactly(cell);
    // Which of two attempts a rework is at is known; see `explore`.
    for (const remedy of remediesOf(node))
      if (remedy.remedy === 'rework' && remedy.attempts === 2) exactly(remedy.counter);
    for (const index of node.entries) guards(this.#plan.entries[index]?.guards ?? []);
    const own = ownCells(this.#plan, node);
    this.#readCheck(node, (cell) => {
      if (cell !== undefined && !own.has(cell)) exactly(cell);
    });
    return uses;
  }

  #ownOf(node: PlanNode): ReadonlySet<number> {
    if (node.node !== 'step') return new Set();
    return new Set([...ownCells(this.#plan, node)].map((cell) => this.#atom(cell, undefined)));
  }

  #readCondition(index: number, exactly: (cell: number | undefined) => void): void {
    const condition = this.#plan.conditions[index];
    exactly(condition?.cell);
    for (const entry of condition?.entries ?? []) exactly(this.#plan.entries[entry]?.cell);
  }

  #readCheck(node: StepNode, exactly: (cell: number | undefined) => void): void {
    const { check } = node;
    for (const index of node.entries) {
      const entry = this.#plan.entries[index];
      if (entry?.entry !== 'identity') continue;
      exactly(entry.partCell);
      entry.matched.forEach(exactly);
    }
    for (const entry of reliedOn(this.#plan, check)) exactly(this.#plan.entries[entry]?.cell);
  }

  /** Cells that a node always overwrites before anything after it reads them. */
  #overwrites(node: PlanNode): readonly number[] {
    if (node.node === 'block' && node.onlyIf === undefined) return node.counters;
    if (node.node !== 'step' || node.onlyIf !== undefined || node.notApplicable !== undefined) return [];
    const taken = node.entries.flatMap((index) => {
      const entry = this.#plan.entries[index];
      return entry === undefined ? [] : [entry.cell, ...entry.truths];
    });
    const acted = node.effects.flatMap((effect) => ('to' in effect ? effect.cell : []));
    return [...taken, ...acted];
  }

  /**
   * What is read in what an entry decides, for each step that takes such entries: it may be done later than else. When it
   * is done the job goes on where it was.
   */
  #strikesOf(none: () => Bits): readonly Strikes[] {
    const found: Strikes[] = [];
    for (const node of this.#plan.nodes) {
      if (node.node !== 'step') continue;
      const bits = none();
      for (const entry of node.entries) include(bits, this.#readAnew(entry, none()));
      if (bits.some((word) => word !== 0)) found.push({ taker: node.index, bits });
    }
    return found;
  }

  /** What is read in what an entry decides, but for the entry itself: that is taken again before. */
  #readAnew(entry: number, into: Bits): Bits {
    for (const body of decidedAnew(this.#plan, entry))
      for (let node = body; node < (this.#plan.nodes[body]?.end ?? body); node++)
        withBits(withBits(into, this.#uses[node] ?? []), this.#own[node] ?? []);
    const own = this.#plan.entries[entry];
    for (const cell of own === undefined ? [] : [own.cell, ...own.truths])
      for (const atom of this.#atomsOf.get(cell) ?? [])
        into[atom >> 5] = (into[atom >> 5] ?? 0) & ~(1 << (atom & 31));
    return into;
  }

  /**
   * The ways back that may be begun at each node because something behind it is struck. Ways that begin alike stand in a chain
   * in the order of their steps, so that each stands for those before it, too. Places are counted from `first` on.
   */
  #chainsBack(first: number): {
    readonly chained: readonly (readonly number[])[];
    readonly from: (node: number) => readonly number[];
  } {
    const { nodes, cells } = this.#plan;
    const gates = new Map<string, WayBack[]>();
    for (const way of waysBack(this.#plan)) {
      // Many ways back begin alike.
      const gate = JSON.stringify(way.guards.map(({ test }) => test));
      const alike = gates.get(gate);
      if (alike === undefined) gates.set(gate, [way]);
      else alike.push(way);
    }
    if (gates.size === 0) return { chained: [], from: () => [] };
    const chained: (readonly number[])[] = [];
    const chains = [...gates.values()].map((ways) => {
      const start = first + chained.length;
      ways.forEach(({ body }, place) => {
        chained.push(place === 0 ? [body] : [body, start + place - 1]);
      });
      return { start, guards: ways[0]?.guards ?? [], takers: ways.map((way) => way.taker) };
    });
    const back = (node: number, may: MayValues): readonly number[] =>
      chains.flatMap(({ start, guards, takers }) => {
        const behind = countUpTo(takers, node);
        return behind > 0 && may.mayHold(node, guards) ? [start + behind - 1] : [];
      });
    const read = new Set(chains.flatMap(({ guards }) => guards.flatMap(({ test }) => [...cellsOf(test)])));
    const isKept = (cell: number): boolean => cells[cell]?.cell === 'state' || cells[cell]?.cell === 'crank';
    const following = nodes.map((node) => this.following(node));
    const may = new MayValues(
      this.#plan,
      [...read].filter(isKept),
      first + chained.length,
      (node, so) => chained[node - first] ?? [...(following[node] ?? []), ...back(node, so)],
    );
    const from = [...nodes.map((node) => back(node.index, may)), back(nodes.length, may)];
    return { chained, from: (node) => from[node] ?? [] };
  }

  #spread(none: () => Bits): void {
    const { nodes } = this.#plan;
    const count = nodes.length;
    const end = count;
    const strikes = this.#strikes;
    // Behind the nodes and the end stand the strikes, in the order of what they strike.
    const decidedBefore = strikesBefore(strikes, count + 1);
    const back = this.#chainsBack(count + 1 + strikes.length);
    const strikeBefore = (node: number): readonly number[] => [...decidedBefore(node), ...back.from(node)];
    const after = [
      ...nodes.map((node) => [...this.following(node), ...strikeBefore(node.index)]),
      strikeBefore(end),
      ...strikes.map((_, place) => (place > 0 ? [end + place] : [])),
      ...back.chained,
    ];
    const overwritten = nodes.map((node) =>
      this.#overwrites(node).flatMap((cell) => this.#atomsOf.get(cell) ?? []),
    );
    const into = [...this.#before, ...strikes.map(({ bits }) => bits), ...back.chained.map(none)];
    const kept = none();
    const before = into.map((): number[] => []);
    after.forEach((all, from) => {
      for (const to of all) before[to]?.push(from);
    });
    const waiting = into.map((_, index) => index);
    const isWaiting = new Set(waiting);
    for (let index = waiting.pop(); index !== undefined; index = waiting.pop()) {
      isWaiting.delete(index);
      const here = into[index];
      if (here === undefined) continue;
      let isNew = false;
      if (index >= end) {
        for (const to of after[index] ?? []) isNew = include(here, into[to] ?? none()) || isNew;
      } else {
        const out = this.#after[index] ?? none();
        for (const to of after[index] ?? []) include(out, into[to] ?? none());
        kept.set(out);
        for (const atom of overwritten[index] ?? [])
          kept[atom >> 5] = (kept[atom >> 5] ?? 0) & ~(1 << (atom & 31));
        // A strike comes before the step has overwritten anything, too.
        for (const to of strikeBefore(index)) include(kept, into[to] ?? none());
        isNew = include(here, withBits(kept, this.#uses[index] ?? []));
      }
      if (!isNew) continue;
      for (const from of before[index] ?? []) {
        if (isWaiting.has(from)) continue;
        isWaiting.add(from);
        waiting.push(from);
      }
    }
  }

  /** The nodes that can come directly after a node; the place after the last one is the end. */
  following(node: PlanNode): readonly number[] {
    const { holds } = this.#plan;
    const out = new Set<number>();
    if (node.node === 'block' && node.first >= 0) out.add(node.first);
    if (node.node === 'choose') {
      for (const one of node.cases) out.add(one.body);
      if (node.otherwise >= 0) out.add(node.otherwise);
    }
    if (node.node === 'step')
      for (const remedy of remediesOf(node)) if (remedy.remedy === 'rework') out.add(remedy.body);
    for (const hold of holds) {
      if (hold.node === node.index)
        for (const release of hold.releases) if (release.by === 'rework') out.add(release.body);
    }
    const goesInside = node.node === 'block' && node.first >= 0;
    const isChoice = node.node === 'choose';
    if (!goesInside || node.onlyIf !== undefined || isChoice) out.add(this.beyond(node));
    return [...out];
  }

  /** Where the job goes when a node is done. */
  beyond(from: PlanNode): number {
    let node: PlanNode | undefined = from;
    while (node !== undefined) {
      if (node.node === 'block' && node.resumes !== undefined) return node.resumes.at;
      if (node.next >= 0) return node.next;
      node = this.#plan.nodes[node.parent];
    }
    return this.#plan.nodes.length;
  }
}

/** What striking the entries of one step can lead to. */
interface Strikes {
  readonly taker: number;
  readonly bits: Bits;
}

/** For a node the last strikes that are possible there: those of the steps up to it. `first` is the place of the first. */
function strikesBefore(strikes: readonly Strikes[], first: number): (node: number) => readonly number[] {
  const last: number[] = [];
  let place = -1;
  for (let node = 0; node <= (strikes.at(-1)?.taker ?? -1); node++) {
    if (strikes[place + 1]?.taker === node) place++;
    last.push(place);
  }
  return (node) => {
    const here = last[node] ?? place;
    return here < 0 ? [] : [first + here];
  };
}

/** How many numbers of an ascending list are not greater than a given one. */
function countUpTo(ascending: readonly number[], most: number): number {
  let low = 0;
  let high = ascending.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((ascending[middle] ?? 0) <= most) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** A set of atoms, one bit for each. */
type Bits = Uint32Array;

function withBits(bits: Bits, atoms: Iterable<number>): Bits {
  for (const atom of atoms) bits[atom >> 5] = (bits[atom >> 5] ?? 0) | (1 << (atom & 31));
  return bits;
}

/** Adds what another set has, and answers whether that was anything new. */
function include(bits: Bits, more: Bits): boolean {
  let isNew = false;
  for (let word = 0; word < bits.length; word++) {
    const before = bits[word] ?? 0;
    bits[word] = before | (more[word] ?? 0);
    if (bits[word] !== before) isNew = true;
  }
  return isNew;
}

/** The cells of the entries that a step takes. */
const ownCells = (plan: Plan, node: StepNode): ReadonlySet<number> =>
  new Set(node.entries.flatMap((index) => plan.entries[index]?.cell ?? []));
