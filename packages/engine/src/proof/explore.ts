import { openDecisions, remedyFor } from '../job/advance.ts';
import { decided } from '../job/control.ts';
import { actFaults } from '../job/effects.ts';
import {
  advance,
  type Control,
  describeCells,
  failing,
  holds,
  openConditions,
  PHASE,
  progressOf,
  type Signal,
  startControl,
  waysOn,
} from '../job/index.ts';
import { reworkCounters } from '../job/signals.ts';
import { CHANGED, controlLength, sinceFrom, takersThatCallForWork } from '../job/since.ts';
import type { Guard, Plan, PlanNode } from '../model/plan.ts';
import { reliedOn } from '../model/relied-on.ts';
import { type Crowd, crowdIn } from './crowd.ts';
import { type Joinable, joinPlaces, type OpenCell } from './joined-places.ts';
import { codesOf, lettersOf, MOST_OPEN_VALUES } from './live-codes.ts';
import { type LiveCell, Liveness } from './liveness.ts';
import { ReadingAhead } from './reading-ahead.ts';
import { ReadingsWatched } from './readings-watched.ts';
import type { Refutation } from './refutation.ts';
import { Room } from './room.ts';
import { Striking } from './striking.ts';
import { type Seen, type Trace, wayTo } from './way.ts';

export interface Exploration {
  readonly refutations: readonly Refutation[];
  readonly states: number;
  /** Strikes of an entry that were followed up; those that cannot lead to anything new are not among them. */
  readonly strikes: number;
  /** Paths of steps that no way reaches. */
  readonly unreached: readonly string[];
  readonly reachesEnd: boolean;
  /** Whether the job can be parked somewhere; true where the procedure says nothing of parking. */
  readonly canPark: boolean;
  /** The exploration stopped at a bound before it had seen everything. */
  readonly cutShort: boolean;
  /** Where most of the states were when it was cut short. */
  readonly crowd?: Crowd;
}

export interface ExploreOptions {
  /** Most states that are told apart; `MOST_STATES` if not said. */
  readonly mostStates?: number;
  /** Asked now and then; once it says yes, the exploration stops and says what it did not reach. */
  readonly isOver?: () => boolean;
  /** Leaves strikes out. */
  readonly withoutStrikes?: boolean;
  /** Called at each state. A cell that may have several values there has one of them in the control. `way` is a shortest one. */
  readonly onReach?: (control: Control, open: readonly OpenCell[], way: () => readonly Trace[]) => void;
}

/** Most states that are told apart, and most bytes that they may take, as far as that can be estimated. */
export const MOST_STATES = 100_000;
const MOST_BYTES = 200_000_000;
/** What a state takes beside its key: where it was reached from; and, while it waits, a view on the bytes of its control. */
const SEEN_BYTES = 240;
const WAITING_BYTES = 300;
/** How often the host is asked whether the time is over: once for so many nodes of a plan, over all the states seen. */
const ASK_EVERY = 200_000;

/**
 * Explores every way on through a plan, breadth first, with the `advance` that runs jobs, and refutes what does not hold
 * with a shortest way there. Strikes are tried at every state, one at a time.
 *
 * Counters are not told apart: a rework may at each try be the last one that is allowed, so what follows an exhausted
 * rework is explored without going round that often. No way is lost by that. Parking changes nothing but that the job is
 * parked, so it is only looked whether it can be.
 */
export function explore(plan: Plan, options: ExploreOptions = {}): Exploration {
  return new Explorer(plan, options).explore();
}

/** A place that was reached. */
interface Place {
  readonly control: Control;
  /** Cells that may have any of several values; everything that follows until one is read is the same for each. */
  readonly cells: readonly OpenCell[];
  readonly seen: Seen;
  readonly key: string;
  /** Cells that have another value than where this place was reached from; undefined after a strike was made good. */
  readonly changed: readonly number[] | undefined;
  readonly live: readonly LiveCell[];
  /** The last node ahead that is done already: an entry was struck, and what lay behind it is not yet come past again. */
  readonly last: number | undefined;
}

interface Joining extends Joinable {
  readonly place: Place;
}

class Explorer {
  readonly #plan: Plan;
  readonly #options: ExploreOptions;
  readonly #liveness: Liveness;
  readonly #ahead: ReadingAhead;
  readonly #readings: ReadingsWatched;
  readonly #room = new Room();
  readonly #seen = new Set<string>();
  readonly #reached = new Set<number>();
  readonly #refutations = new Map<string, Refutation>();
  /** The counters, each with whether one round is told from none, and the range of the block that it belongs to. */
  readonly #counters: readonly {
    readonly cell: number;
    readonly isTold: boolean;
    readonly from: number;
    readonly until: number;
  }[];
  /** Those that are told apart wherever the job is in their block. */
  readonly #told: readonly number[];
  readonly #since: readonly { readonly since: number; readonly cells: readonly number[] }[];
  readonly #joinable: readonly boolean[];
  readonly #striking: Striking;
  readonly #mostStates: number;
  #next: Place[] = [];
  #waitingBytes: number;
  #seenBytes = 0;
  #strikes = 0;
  #reachesEnd = false;
  #canPark: boolean;
  #cutShort = false;
  readonly #askEvery: number;
  #ticks = 0;
  #wave = 0;

  constructor(plan: Plan, options: ExploreOptions) {
    this.#plan = plan;
    this.#options = options;
    this.#mostStates = options.mostStates ?? MOST_STATES;
    this.#askEvery = Math.max(1, Math.floor(ASK_EVERY / Math.max(1, plan.nodes.length)));
    this.#liveness = new Liveness(plan);
    this.#ahead = new ReadingAhead(plan, this.#liveness);
    this.#readings = new ReadingsWatched(plan);
    const asked = new Set(
      plan.nodes.flatMap((node) =>
        node.node === 'step' && node.notApplicable !== undefined ? reworkCounters(plan, node) : [],
      ),
    );
    const scopes = new Map(
      plan.nodes.flatMap((node) =>
        node.node === 'block' ? node.counters.map((counter) => [counter, node] as const) : [],
      ),
    );
    this.#counters = plan.cells.flatMap((cell, index) => {
      if (cell.cell !== 'counter') return [];
      const scope = scopes.get(index);
      const isTold = asked.has(index) || cell.most === 2;
      return [{ cell: index, isTold, from: scope?.index ?? 0, until: scope?.end ?? plan.nodes.length }];
    });
    this.#told = [...asked];
    this.#since = [...takersThatCallForWork(plan)].flatMap(([taker, place]) => {
      const node = plan.nodes[taker];
      if (node?.node !== 'step' || node.struck === undefined || options.withoutStrikes === true) return [];
      const cells = node.entries.flatMap((entry) => plan.entries[entry]?.cell ?? []);
      return [{ since: sinceFrom(plan) + place, cells }];
    });
    this.#joinable = plan.cells.map(
      (cell) =>
        cell.cell === 'part' ||
        cell.cell === 'truth' ||
        (cell.cell === 'entry' &&
          plan.entries[cell.entry]?.entry === 'observation' &&
          cell.values.length <= MOST_OPEN_VALUES),
    );
    this.#striking = new Striking(plan, this.#liveness);
    this.#canPark = plan.parking === undefined;
    this.#waitingBytes = controlLength(plan) + this.#readings.bytes + WAITING_BYTES;
  }

  explore(): Exploration {
    const start = startControl(this.#plan);
    const bytes = new Uint8Array(start.bytes.length + this.#readings.bytes);
    bytes.set(start.bytes);
    this.#add(withBytes(start, bytes), [], { seen: 'start' }, bytes, false);
    while (this.#next.length > 0) {
      const wave = this.#joined(this.#next);
      this.#next = [];
      this.#wave = wave.length;
      for (const place of wave) {
        if (this.#cutShort && this.#options.isOver?.() === true) break;
        this.#ticks += 1;
        if (this.#ticks % this.#askEvery === 0 && this.#options.isOver?.() === true) {
          this.#cutShort = true;
          break;
        }
        this.#visit(place);
      }
    }
    const { nodes } = this.#plan;
    const unreached = nodes
      .filter((node) => node.node === 'step' && !this.#reached.has(node.index))
      .map((node) => node.path);
    return {
      refutations: [...this.#refutations.values()],
      states: this.#seen.size,
      strikes: this.#strikes,
      unreached,
      reachesEnd: this.#reachesEnd,
      canPark: this.#canPark,
      cutShort: this.#cutShort,
      ...(this.#cutShort ? { crowd: crowdIn(this.#plan, this.#seen, this.#liveness) } : {}),
    };
  }

  #visit(place: Place): void {
    const { control } = place;
    this.#reached.add(control.at);
    this.#options.onReach?.(control, place.cells, () => wayTo(this.#plan, place.seen));
    if (control.closed !== undefined) return;
    const { parking } = this.#plan;
    if (!this.#canPark && parking !== undefined && control.hold < 0)
      this.#canPark = holds(parking.guard.test, control.bytes);
    const { last } = place;
    const back = last === undefined ? [] : [...this.#opened(control, last), last];
    const ahead = back.flatMap((node) => {
      const one = this.#plan.nodes[node];
      return one === undefined ? [] : [node, this.#liveness.beyond(one)];
    });
    const read = (one: Place): number | undefined => this.#ahead.firstRead(one.control, one.cells, ahead);
    for (const one of narrowed(place, read)) this.#goOn(one);
    if (place.last === undefined && this.#options.withoutStrikes !== true) this.#strike(place);
  }

  #goOn(place: Place): void {
    const { control } = place;
    const plan = this.#plan;
    const node = plan.nodes[control.at];
    const ways = waysOn(plan, control).filter((way) => this.#readings.allows(node, way, control.bytes));
    if (node === undefined && control.hold < 0) {
      this.#reachesEnd = true;
      for (const guard of failing(plan.ends, control.bytes))
        this.#refute('ends', guard.pointer, guard.because.says, () => ({
          property: 'ends',
          guard,
          ...this.#found(place),
        }));
      this.#refuteUnjudged(place, undefined, this.#readings.waiting(control.bytes));
    } else if (node !== undefined) {
      const hasUnfit = this.#refuteCases(place, node);
      const isStuck = ways.every((way) => way.signal === 'omitted');
      if (control.hold < 0 && isStuck && !hasUnfit) this.#refuteStop(place, node);
      this.#refuteReliance(place, node, ways);
    }
    for (const way of ways) this.#follow(place, way);
  }

  /** Takes every successor of a signal. A rework is tried both as one of several and as the last. */
  #follow(place: Place, signal: Signal): void {
    const plan = this.#plan;
    const { control } = place;
    const node = plan.nodes[control.at];
    const remedy =
      signal.signal === 'judged' && node?.node === 'step' ? remedyFor(node, signal.outcome) : undefined;
    const rework = remedy?.remedy === 'rework' ? remedy : undefined;
    for (const isLast of rework === undefined ? [false] : triesOf(rework, control)) {
      const counted =
        rework === undefined ? undefined : { cell: rework.counter, tries: isLast ? rework.attempts - 1 : 0 };
      const { control: next, cells, closed } = this.#after(place, signal, counted);
      const seen: Seen = { seen: 'after', parent: place.seen, at: control.at, signal, isLast, closed };
      this.#add(next, cells, seen, control.bytes, place.last !== undefined);
    }
  }

  /** What a signal leads to, for every value of the open cells at once. */
  #after(
    place: Place,
    signal: Signal,
    counted?: { readonly cell: number; readonly tries: number },
  ): {
    readonly control: Control;
    readonly cells: readonly OpenCell[];
    readonly closed: readonly number[];
  } {
    const plan = this.#plan;
    const { control, cells } = place;
    const node = plan.nodes[control.at];
    const run = (values: readonly (readonly [number, number])[]): Control => {
      const bytes = this.#room.copy(control.bytes);
      for (const [cell, value] of values) bytes[cell] = value;
      if (counted !== undefined) bytes[counted.cell] = counted.tries;
      const after = advance(plan, withBytes(control, bytes), signal, itself);
      this.#count(after);
      this.#readings.follow(node, signal, control.bytes, after.bytes);
      return after;
    };
    const after = run([]);
    if (cells.length === 0) return { control: after, cells, closed: [] };
    // What it makes of the other values shows which open cells it leaves alone. It reads none: they were narrowed before.
    const other = run(cells.map(({ cell, values }) => [cell, otherValue(control.bytes[cell] ?? 0, values)]));
    if (other.at !== after.at || other.hold !== after.hold) throw new Error('an open cell was read');
    const open: OpenCell[] = [];
    const closed: number[] = [];
    for (const one of cells) {
      const { cell, values } = one;
      const value = control.bytes[cell] ?? 0;
      const isLeft = after.bytes[cell] === value && other.bytes[cell] === otherValue(value, values);
      if (isLeft) open.push(one);
      else {
        const images = new Set(values.map((each) => run([[cell, each]]).bytes[cell] ?? 0));
        if (images.size > 1) open.push({ cell, values: [...images].sort((a, b) => a - b) });
        closed.push(cell);
      }
    }
    return { control: after, cells: open, closed };
  }

  /** Counters say at most whether anything was counted, and that only where it is told apart. */
  #count({ at, bytes }: Control): void {
    for (let number = 0; number < this.#counters.length; number++) {
      const counter = this.#counters[number];
      if (counter === undefined || bytes[counter.cell] === 0) continue;
      bytes[counter.cell] = counter.isTold && counter.from <= at && at < counter.until ? 1 : 0;
    }
  }

  /** Tries to strike what can be struck here and has not been struck in the same circumstances before. */
  #strike(place: Place): void {
    const { control } = place;
    const { cells, key, changed, live, seen: how } = place;
    const came = how.seen === 'after' ? how.at : control.at;
    for (const signal of this.#striking.candidates({ control, cells, key, changed, came, live })) {
      const guarding = this.#striking.cellsRead(signal);
      const comesTo = this.#striking.comesTo(signal);
      const read = (one: Place): number | undefined =>
        one.cells.find(({ cell }) => guarding.has(cell))?.cell ??
        this.#ahead.firstPassed(comesTo, one.control, one.cells);
      for (const one of narrowed(place, read)) {
        const { control: next, cells, closed } = this.#after(one, signal);
        // A strike that nothing leads on from is refused.
        if (waysOn(this.#plan, next).length === 0) continue;
        this.#strikes += 1;
        const seen: Seen = { seen: 'after', parent: one.seen, at: control.at, signal, isLast: false, closed };
        this.#add(next, cells, seen, one.control.bytes, true);
      }
    }
  }

  /** Adds a place unless it was seen, or a bound is reached. `before` is what it was reached from. */
  #add(
    control: Control,
    cells: readonly OpenCell[],
    seen: Seen,
    before: Uint8Array,
    wasStruck: boolean,
  ): void {
    const last = wasStruck ? this.#lastAhead(control) : undefined;
    const live = this.#liveAt(control, last);
    const mattering = cells.length === 0 ? cells : cells.filter((one) => classesOf(live, one) > 1);
    const key = this.#keyOf(control, live, mattering, last);
    if (this.#seen.has(key)) {
      this.#room.giveBack(control.bytes);
      return;
    }
    const bytes = this.#seenBytes + key.length + (this.#wave + this.#next.length) * this.#waitingBytes;
    if (this.#seen.size >= this.#mostStates || bytes > MOST_BYTES) {
      this.#room.giveBack(control.bytes);
      this.#cutShort = true;
      return;
    }
    this.#seen.add(key);
    this.#seenBytes += key.length + SEEN_BYTES;
    const isGood = wasStruck && last === undefined;
    this.#next.push({
      control,
      cells: mattering,
      seen,
      key,
      changed: isGood ? undefined : changedIn(before, control.bytes, this.#plan.cells.length),
      live,
      last,
    });
  }

  /** The places of a wave, those that differ in one cell alone taken together. */
  #joined(places: readonly Place[]): readonly Place[] {
    const { cells, nodes } = this.#plan;
    const groups = new Map<string, Place[]>();
    for (const place of places) {
      const { at, hold, closed, bytes } = place.control;
      const alone = closed !== undefined || at >= nodes.length ? place.key : '';
      const where = `${at} ${bytes[cells.length + at] ?? 0} ${hold} ${alone}`;
      const group = groups.get(where);
      if (group === undefined) groups.set(where, [place]);
      else group.push(place);
    }
    return [...groups.values()].flatMap((group) => (group.length > 1 ? this.#joinAt(group) : group));
  }

  /** Joins places at one node: first those that agree on every cell that may not be open. */
  #joinAt(places: readonly Place[]): readonly Place[] {
    const groups = new Map<string, Joining[]>();
    for (const place of places) {
      const { control, live, last } = place;
      const [fixed, free] = this.#apart(live, control.bytes);
      const cells = free.map(
        ({ cell }) =>
          place.cells.find((open) => open.cell === cell) ?? { cell, values: [control.bytes[cell] ?? 0] },
      );
      const key = `${fixed.length} ${this.#keyOf(control, fixed, [], last)}`;
      const group = groups.get(key);
      if (group === undefined) groups.set(key, [{ place, cells, seen: place.seen }]);
      else group.push({ place, cells, seen: place.seen });
    }
    return [...groups.values()].flatMap((group) =>
      group.length > 1 ? this.#joinGroup(group) : group.map((one) => one.place),
    );
  }

  /** The cells that may not be open with the values that they have, and those that may. */
  #apart(live: readonly LiveCell[], bytes: Uint8Array): readonly [LiveCell[], LiveCell[]] {
    const joinable = this.#joinable;
    const fixed: LiveCell[] = [];
    const free: LiveCell[] = [];
    for (let place = 0; place < live.length; place++) {
      const one = live[place];
      if (one === undefined) continue;
      if (joinable[one.cell] === true && bytes[one.cell] !== 0) free.push(one);
      else fixed.push(one);
    }
    return [fixed, free];
  }

  #joinGroup(group: readonly Joining[]): readonly Place[] {
    if (this.#seen.size >= this.#mostStates) return group.map((one) => one.place);
    const joining = new Set(group.map((one) => one.place.key));
    return joinPlaces(group).flatMap(({ place, cells, seen }) => {
      if (seen === place.seen) return place;
      const open = cells.filter((one) => one.values.length > 1);
      const key = this.#keyOf(place.control, place.live, open, place.last);
      // One of those that are joined may stand for all of them already; it has been added, and was not gone on from yet.
      if (this.#seen.has(key) && !joining.has(key)) return [];
      this.#seen.add(key);
      const changed =
        place.changed === undefined ? undefined : [...place.changed, ...open.map((one) => one.cell)];
      const { control, live, last } = place;
      return { control, cells: open, seen, key, changed, live, last };
    });
  }

  /**
   * The last node ahead of where the job stands that has been begun or done: only a strike brings that about. Where the job
   * is in a rework behind which everything is done again, that makes no difference, and there is none.
   */
  #lastAhead(control: Control): number | undefined {
    const { cells, nodes } = this.#plan;
    if (control.hold < 0 && this.#startsAnew(control.at)) return undefined;
    for (let node = nodes.length - 1; node > control.at; node--)
      if (control.bytes[cells.length + node] !== PHASE.unstarted) return node;
    return undefined;
  }

  /** Whether a node is in a rework that leads back to a place from which everything is done again to the end. */
  #startsAnew(from: number): boolean {
    const { nodes } = this.#plan;
    for (let node = nodes[from]; node !== undefined; node = nodes[node.parent])
      if (node.node === 'block' && node.resumes !== undefined)
        return node.resumes.until >= nodes.length && node.resumes.at <= from;
    return false;
  }

  /** The nodes ahead that a strike has opened again. */
  #opened(control: Control, last: number): readonly number[] {
    const out: number[] = [];
    for (let node = control.at + 1; node <= last; node++) {
      const progress = progressOf(this.#plan, control, node);
      if (progress > PHASE.unstarted && progress < PHASE.done && progress !== PHASE.reworking) out.push(node);
    }
    return out;
  }

  #liveAt(control: Control, last: number | undefined): readonly LiveCell[] {
    const phase = progressOf(this.#plan, control, control.at);
    if (last === undefined) return this.#liveness.at(control.at, phase);
    const places: (readonly [number, number])[] = [[control.at, phase]];
    for (const node of this.#opened(control, last))
      places.push([node, progressOf(this.#plan, control, node)], [node, PHASE.act]);
    places.push([last, PHASE.act], [last, PHASE.entries]);
    return this.#liveness.together(places);
  }

  /** What tells two places apart for what can follow. */
  #keyOf(
    control: Control,
    live: readonly LiveCell[],
    open: readonly OpenCell[],
    last: number | undefined,
  ): string {
    const { bytes } = control;
    const phase = progressOf(this.#plan, control, control.at);
    let key = `${control.at} ${phase} ${control.hold} ${control.closed ?? ''} `;
    key += codesOf(live, bytes, open);
    for (const cell of this.#told) if ((bytes[cell] ?? 0) > 0) key += `#${cell}`;
    // Where a step has a way back, it matters whether anything was changed since it took what may be struck.
    for (let place = 0; place < this.#since.length; place++) {
      const one = this.#since[place];
      if (one === undefined || bytes[one.since] !== CHANGED) continue;
      if (one.cells.some((cell) => (bytes[cell] ?? 0) > 0)) key += `!${one.since}`;
    }
    key += this.#readings.key(bytes, live);
    if (last === undefined) return key;
    // The progress of the nodes ahead, too: where a strike has sent the job back, and what it comes past again.
    const from = this.#plan.cells.length;
    return `${key} struck ${lettersOf(bytes.subarray(from + control.at, from + last + 1))}`;
  }

  #found(place: Place): { readonly trace: Refutation['trace']; readonly states: Refutation['states'] } {
    return { trace: wayTo(this.#plan, place.seen), states: describeCells(this.#plan, place.control) };
  }

  #refute(property: string, where: string, says: string, make: () => Refutation): void {
    const key = `${property} ${where} ${says}`;
    if (!this.#refutations.has(key)) this.#refutations.set(key, make());
  }

  /** Why nothing carries the job on here: a law, a requirement of an entry, or no reason that the pack states. */
  #refuteStop(place: Place, node: PlanNode): void {
    const { control } = place;
    const { path, pointer } = node;
    const phase = progressOf(this.#plan, control, control.at);
    const guards: readonly Guard[] =
      node.node !== 'step'
        ? []
        : phase === PHASE.act
          ? actFaults(node, control.bytes)
          : node.entries.flatMap((entry) => failing(this.#plan.entries[entry]?.guards ?? [], control.bytes));
    for (const guard of guards)
      this.#refute('law', pointer, guard.because.says, () => ({
        property: 'law',
        guard,
        node: path,
        pointer,
        ...this.#found(place),
      }));
    if (guards.length === 0)
      this.#refute('goes-on', pointer, '', () => ({
        property: 'goes-on',
        node: path,
        pointer,
        ...this.#found(place),
      }));
  }

  /** What decides, judges or works by a reading that waits for its own verdict relies on what was not judged. */
  #refuteReliance(place: Place, node: PlanNode, ways: readonly Signal[]): void {
    const { control } = place;
    const decides = ways.some((way) => way.signal === 'branched');
    const judges = ways.some((way) => way.signal === 'judged');
    const { act } = node.node === 'step' ? node : {};
    const running =
      act?.act === 'tighten' && ways.some((way) => way.signal === 'done') ? act.running : undefined;
    if (!decides && !judges && running === undefined) return;
    const waiting = this.#readings.waiting(control.bytes);
    if (waiting.length === 0) return;
    const relied = new Set(
      decides
        ? openConditions(node, this.#plan, control.bytes).flatMap(
            (one) => this.#plan.conditions[one]?.entries ?? [],
          )
        : running !== undefined
          ? [running]
          : node.node === 'step'
            ? reliedOn(this.#plan, node.check)
            : [],
    );
    const unjudged = waiting.filter((entry) => {
      const isOwn = this.#plan.entries[entry]?.judgedBy.includes(node.index) === true;
      return relied.has(entry) && !(judges && isOwn && this.#readings.isJudgedBy(entry, node.index));
    });
    this.#refuteUnjudged(place, node, unjudged);
  }

  #refuteUnjudged(place: Place, node: PlanNode | undefined, entries: readonly number[]): void {
    for (const entry of entries) {
      const reading = this.#plan.entries[entry];
      if (reading === undefined) continue;
      const pointer = node?.pointer ?? reading.pointer;
      this.#refute('judged', pointer, reading.pointer, () => ({
        property: 'judged',
        entry: reading.name,
        atEnd: node === undefined,
        node: node?.path ?? '',
        pointer,
        ...this.#found(place),
      }));
    }
  }

  /**
   * A choice over one reading can be looked at value by value: exactly one case has to be true of each. Answers whether
   * that is not so.
   */
  #refuteCases(place: Place, node: PlanNode): boolean {
    const { control } = place;
    if (node.node !== 'choose' || progressOf(this.#plan, control, control.at) !== PHASE.deciding)
      return false;
    const decisions = openDecisions(node, this.#plan, control.bytes);
    if (decisions[0] === node.onlyIf) return false;
    const cases: (number | boolean)[] = [];
    for (const one of decisions) {
      const truth = decided(this.#plan, one, control.bytes);
      if (truth !== undefined) cases.push(truth);
      else if (one.by === 'condition') cases.push(one.condition);
      else return false;
    }
    const unfit = this.#readings.unfit(cases, node.otherwise >= 0, control.bytes);
    for (const areTrue of unfit) {
      const says = areTrue.map((one) => node.cases[one]?.says ?? '');
      this.#refute('one-case', node.pointer, says.join(' / '), () => ({
        property: 'one-case',
        areTrue: says,
        node: node.path,
        pointer: node.pointer,
        ...this.#found(place),
      }));
    }
    return unfit.length > 0;
  }
}

/** Whether an outcome is tried as one before the last that a rework allows, as the last, or as both. */
function triesOf(
  { attempts, counter }: { readonly attempts: number; readonly counter: number },
  { bytes }: Control,
): readonly boolean[] {
  // Of two attempts it is known which one this is.
  if (attempts === 2) return [(bytes[counter] ?? 0) > 0];
  return attempts > 1 ? [false, true] : [true];
}

/** A place with one value for each open cell that is read there: as many places as that makes a difference to. */
function narrowed(place: Place, read: (place: Place) => number | undefined): readonly Place[] {
  const out: Place[] = [];
  const waiting: Place[] = [place];
  for (let one = waiting.pop(); one !== undefined; one = waiting.pop()) {
    const { cells, control, seen, key, changed, live, last } = one;
    const cell = cells.length === 0 ? undefined : read(one);
    const open = cells.find((each) => each.cell === cell);
    if (cell === undefined || open === undefined) {
      out.push(one);
      continue;
    }
    for (const value of open.values.toReversed()) {
      const bytes = control.bytes.slice();
      bytes[cell] = value;
      waiting.push({
        control: withBytes(control, bytes),
        cells: cells.filter((each) => each !== open),
        seen: { seen: 'narrowed', parent: seen, cell, value },
        key,
        changed,
        live,
        last,
      });
    }
  }
  return out;
}

/**
 * The same place of a job with other bytes. Written out: of what is copied by a spread, each place of the code makes another
 * kind of object, and what goes through very many controls is compiled for few kinds.
 */
function withBytes({ at, hold, parked, closed }: Control, bytes: Uint8Array): Control {
  return closed === undefined ? { at, hold, parked, bytes } : { at, hold, parked, closed, bytes };
}

/** The cells, of the first `count`, that have another value afterwards. */
function changedIn(before: Uint8Array, after: Uint8Array, count: number): readonly number[] {
  const changed: number[] = [];
  for (let cell = 0; cell < count; cell++) if (before[cell] !== after[cell]) changed.push(cell);
  return changed;
}

const itself = (bytes: Uint8Array): Uint8Array => bytes;

const otherValue = (value: number, values: readonly number[]): number =>
  values.find((one) => one !== value) ?? value;

const classesOf = (live: readonly LiveCell[], { cell, values }: OpenCell): number => {
  const classes = live.find((one) => one.cell === cell)?.classes;
  return classes === undefined ? 0 : new Set(values.map((value) => classes[value])).size;
};
