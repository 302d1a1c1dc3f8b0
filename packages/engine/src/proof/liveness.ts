import { PHASE } from '../job/index.ts';
import { ENTRY, type Guard, type Plan, type PlanNode, type StepNode, type Test } from '../model/plan.ts';

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
  readonly #known = new Map<string, readonly LiveCell[]>();
  readonly #knownCells = new Map<string, LiveCell>();
  readonly #knownByBits = new Map<string, readonly LiveCell[]>();

  constructor(plan: Plan) {
    this.#plan = plan;
    const ends = new Set<number>();
    for (const guard of plan.ends) this.#read(guard.test, ends);
    this.#uses = plan.nodes.map((node) => this.#usesOf(node));
    this.#own = plan.nodes.map((node) => this.#ownOf(node));
    // Every atom is known by now. Plans may have very many nodes with very many of them: a bit each.
    const none = (): Bits => new Uint32Array(Math.ceil(this.#atoms.length / 32));
    this.#after = plan.nodes.map(none);
    this.#before = [...plan.nodes.map(none), withBits(none(), ends)];
    this.#spread(none);
  }

  /** The cells that matter where a node is in a phase; for the place after the last node, at the end. */
  at(node: number, phase: number): readonly LiveCell[] {
    const acted = phase > PHASE.act && phase < PHASE.done;
    const key = `${node} ${acted}`;
    const known = this.#known.get(key);
    if (known !== undefined) return known;
    let live = (acted ? this.#after[node] : this.#before[node]) ?? new Uint32Array();
    if (acted) live = withBits(withBits(live.slice(), this.#uses[node] ?? []), this.#own[node] ?? []);
    // Most places have the same live cells as the one before.
    const bits = live.join(' ');
    const made = this.#knownByBits.get(bits) ?? this.#cells(live);
    this.#known.set(key, made);
    this.#knownByBits.set(bits, made);
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
    const size = said === undefined || said.cell === 'counter' ? 1 : said.values.length;
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

  #usesOf(node: PlanNode): Set<number> {
    const uses = new Set<number>();
    const exactly = (cell: number | undefined): void => {
      if (cell !== undefined) uses.add(this.#atom(cell, undefined));
    };
    const guards = (all: readonly Guard[]): void => {
      for (const guard of all) this.#read(guard.test, uses);
    };
    const decision = (one: PlanNode['onlyIf']): void => {
      if (one?.by === 'test') {
        this.#read(one.test, uses);
        for (const cell of one.needs ?? []) uses.add(this.#atom(cell, [ENTRY.none]));
      } else if (one !== undefined) this.#readCondition(one.condition, exactly);
    };
    decision(node.onlyIf);
    if (node.node === 'choose') for (const one of node.cases) decision(one.when);
    if (node.node !== 'step') return uses;
    guards(node.guards);
    guards(node.invariants);
    for (const effect of node.effects) if ('table' in effect) exactly(effect.cell);
    node.disturbs.forEach(exactly);
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
    if (check?.check !== 'tolerance') return;
    for (const entry of this.#plan.tolerances[check.tolerance]?.entries ?? [])
      exactly(this.#plan.entries[entry]?.cell);
  }

  /** Cells that a node always overwrites before anything after it reads them. */
  #overwrites(node: PlanNode): readonly number[] {
    if (node.node !== 'step' || node.onlyIf !== undefined || node.notApplicable !== undefined) return [];
    const taken = node.entries.flatMap((index) => {
      const entry = this.#plan.entries[index];
      return entry === undefined ? [] : [entry.cell, ...entry.truths];
    });
    const acted = node.effects.flatMap((effect) => ('to' in effect ? effect.cell : []));
    return [...taken, ...acted];
  }

  #spread(none: () => Bits): void {
    const { nodes } = this.#plan;
    const after = nodes.map((node) => this.#following(node));
    const overwritten = nodes.map((node) =>
      this.#overwrites(node).flatMap((cell) => this.#atomsOf.get(cell) ?? []),
    );
    const kept = none();
    const waiting = nodes.map((node) => node.index);
    const isWaiting = new Set(waiting);
    const before = nodes.map((): number[] => []);
    after.forEach((all, from) => {
      for (const to of all) before[to]?.push(from);
    });
    for (let index = waiting.pop(); index !== undefined; index = waiting.pop()) {
      isWaiting.delete(index);
      const out = this.#after[index];
      const into = this.#before[index];
      const uses = this.#uses[index];
      if (out === undefined || into === undefined || uses === undefined) continue;
      for (const to of after[index] ?? []) include(out, this.#before[to] ?? none());
      kept.set(out);
      for (const atom of overwritten[index] ?? [])
        kept[atom >> 5] = (kept[atom >> 5] ?? 0) & ~(1 << (atom & 31));
      if (!include(into, withBits(kept, uses))) continue;
      for (const from of before[index] ?? []) {
        if (isWaiting.has(from)) continue;
        isWaiting.add(from);
        waiting.push(from);
      }
    }
  }

  /** The nodes that can come directly after a node; the place after the last one is the end. */
  #following(node: PlanNode): readonly number[] {
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
    if (!goesInside || node.onlyIf !== undefined || isChoice) out.add(this.#beyond(node));
    return [...out];
  }

  /** Where the job goes when a node is done. */
  #beyond(from: PlanNode): number {
    let node: PlanNode | undefined = from;
    while (node !== undefined) {
      if (node.node === 'block' && node.resumes !== undefined) return node.resumes.at;
      if (node.next >= 0) return node.next;
      node = this.#plan.nodes[node.parent];
    }
    return this.#plan.nodes.length;
  }
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

/** Every remedy of a step. */
function remediesOf(node: StepNode) {
  const { check, struck } = node;
  const all =
    check === undefined
      ? []
      : check.check === 'tolerance'
        ? [check.high, check.low, check.inconclusive]
        : [check.nonconforming];
  return [...all, struck].flatMap((remedy) => remedy ?? []);
}
