import { actFaults, remedyFor } from '../job/advance.ts';
import {
  advance,
  type Control,
  describeCells,
  failing,
  PHASE,
  progressOf,
  type Signal,
  startControl,
  waysOn,
} from '../job/index.ts';
import type { Guard, Plan } from '../model/plan.ts';
import { Liveness } from './liveness.ts';

/** One step of a way through a plan: what happened, and where the job stood before. */
export interface Trace {
  readonly node: string;
  readonly pointer: string;
  readonly signal: Signal;
  /** This outcome came as often as it may; what is said to follow then follows. */
  readonly isLast?: true;
}

export type Refutation =
  /** A step can be reached in states in which a law, a requirement or a change forbids it. */
  | {
      readonly property: 'law';
      readonly guard: Guard;
      readonly node: string;
      readonly pointer: string;
      readonly trace: readonly Trace[];
      readonly states: ReadonlyMap<string, string>;
    }
  /** The job can come to a place from which nothing carries it on. */
  | {
      readonly property: 'goes-on';
      readonly node: string;
      readonly pointer: string;
      readonly trace: readonly Trace[];
      readonly states: ReadonlyMap<string, string>;
    }
  /** The job can end in states other than the declared ones. */
  | {
      readonly property: 'ends';
      readonly guard: Guard;
      readonly trace: readonly Trace[];
      readonly states: ReadonlyMap<string, string>;
    };

export interface Exploration {
  readonly refutations: readonly Refutation[];
  readonly states: number;
  /** Paths of steps that no way reaches. */
  readonly unreached: readonly string[];
  readonly reachesEnd: boolean;
  /** The exploration stopped at its bound before it had seen everything. */
  readonly cutShort: boolean;
  /** Where most of the states were when it was cut short. */
  readonly crowd?: Crowd;
}

/** The place of a plan with most states, and what tells them apart there. */
export interface Crowd {
  /** Path of the node; undefined for the end of the job. */
  readonly node?: string;
  readonly pointer: string;
  readonly states: number;
  /** Names of the cells that something later still reads and that differ among these states. */
  readonly live: readonly string[];
}

/** A place that was reached, and how. The bytes of its control are let go once what follows it is known. */
interface Seen {
  readonly at: number;
  readonly parent: Seen | undefined;
  readonly signal: Signal | undefined;
  readonly isLast: boolean;
}

interface Waiting {
  readonly seen: Seen;
  readonly control: Control;
}

interface Successor {
  readonly signal: Signal;
  readonly control: Control;
  readonly isLast: boolean;
}

/** Most states that are told apart, and most bytes that they may take, as far as that can be estimated. */
export const MOST_STATES = 100_000;
const MOST_BYTES = 200_000_000;
/** What a state takes beside its key: where it was reached from; and, while it waits, a view on the bytes of its control. */
const SEEN_BYTES = 240;
const WAITING_BYTES = 300;

/**
 * Explores every way on through a plan, breadth first, with the `advance` that runs jobs, and refutes the laws and the
 * declared end with a shortest way there. Strikes and parking are not explored here.
 *
 * Counters are not told apart: a rework may at each try be the last one that is allowed, so what follows an exhausted
 * rework is explored without going round that often. No way is lost by that.
 */
export function explore(
  plan: Plan,
  mostStates: number = MOST_STATES,
  onReach: (control: Control) => void = () => {},
): Exploration {
  const liveness = new Liveness(plan);
  const room = new Room();
  const start = startControl(plan);
  const first = keyOf(plan, start, liveness);
  const seen = new Set([first]);
  const waitingBytes = start.bytes.length + WAITING_BYTES;
  let seenBytes = first.length + SEEN_BYTES;
  const reached = new Set<number>();
  const refutations = new Map<string, Refutation>();
  let reachesEnd = false;
  let cutShort = false;
  let wave: Waiting[] = [
    { seen: { at: start.at, parent: undefined, signal: undefined, isLast: false }, control: start },
  ];
  while (wave.length > 0) {
    const next: Waiting[] = [];
    for (const here of wave) {
      const { control } = here;
      reached.add(control.at);
      onReach(control);
      if (control.closed !== undefined) continue;
      const ways = waysOn(plan, control);
      if (control.at >= plan.nodes.length && control.hold < 0) {
        reachesEnd = true;
        for (const guard of failing(plan.ends, control.bytes)) {
          refuteOnce(refutations, { property: 'ends', guard, ...seenAs(plan, here) });
        }
      } else if (ways.every((way) => way.signal === 'omitted')) {
        refuteStop(plan, here, refutations);
      }
      for (const { signal, control: after, isLast } of successors(plan, control, ways, room)) {
        const key = keyOf(plan, after, liveness);
        if (seen.has(key)) {
          room.giveBack(after.bytes);
          continue;
        }
        const bytes = seenBytes + key.length + (wave.length + next.length) * waitingBytes;
        if (seen.size >= mostStates || bytes > MOST_BYTES) {
          room.giveBack(after.bytes);
          cutShort = true;
          continue;
        }
        seen.add(key);
        seenBytes += key.length + SEEN_BYTES;
        next.push({ seen: { at: after.at, parent: here.seen, signal, isLast }, control: after });
      }
    }
    wave = next;
  }
  const unreached = plan.nodes
    .filter((node) => node.node === 'step' && !reached.has(node.index))
    .map((node) => node.path);
  const crowd = cutShort ? { crowd: crowdOf(plan, seen, liveness) } : {};
  return {
    refutations: [...refutations.values()],
    states: seen.size,
    unreached,
    reachesEnd,
    cutShort,
    ...crowd,
  };
}

/** Where most of the states are, and which of the cells that matter there differ among them. */
function crowdOf(plan: Plan, seen: ReadonlySet<string>, liveness: Liveness): Crowd {
  const counts = new Map<string, number>();
  let most = '';
  for (const key of seen) {
    const place = placeIn(key);
    const count = (counts.get(place) ?? 0) + 1;
    counts.set(place, count);
    if (count > (counts.get(most) ?? 0)) most = place;
  }
  const [at = 0, phase = 0] = most.split(' ').map(Number);
  const found = liveness.at(at, phase).map(() => new Set<number>());
  for (const key of seen) {
    if (placeIn(key) !== most) continue;
    for (const [index, values] of found.entries()) values.add(key.charCodeAt(most.length + index));
  }
  const live = liveness
    .at(at, phase)
    .flatMap(({ cell }, index) => ((found[index]?.size ?? 0) > 1 ? (plan.cells[cell]?.name ?? []) : []));
  const node = plan.nodes[at];
  const states = counts.get(most) ?? 0;
  return node === undefined
    ? { pointer: plan.nodes[0]?.pointer ?? '', states, live }
    : { node: node.path, pointer: node.pointer, states, live };
}

/** The part of a key that says where the job is: up to its fourth space. */
function placeIn(key: string): string {
  let end = 0;
  for (let spaces = 0; spaces < 4; spaces++) end = key.indexOf(' ', end) + 1;
  return key.slice(0, end);
}

/** Every control that can follow, its counters set back. A rework is tried both as one of several and as the last. */
function* successors(
  plan: Plan,
  control: Control,
  ways: readonly Signal[],
  room: Room,
): Generator<Successor, void> {
  const node = plan.nodes[control.at];
  for (const signal of ways) {
    const remedy =
      signal.signal === 'judged' && node?.node === 'step' ? remedyFor(node, signal.outcome) : undefined;
    const counts = remedy?.remedy === 'rework' ? remedy : undefined;
    for (const isLast of counts === undefined ? [false] : counts.attempts > 1 ? [false, true] : [true]) {
      const bytes = room.copy(control.bytes);
      if (counts !== undefined) bytes[counts.counter] = isLast ? counts.attempts - 1 : 0;
      const after = advance(plan, { ...control, bytes }, signal, (own) => own);
      for (const cell of countersOf(plan)) after.bytes[cell] = 0;
      yield { signal, control: after, isLast };
    }
  }
}

const counters = new WeakMap<Plan, readonly number[]>();

function countersOf(plan: Plan): readonly number[] {
  const known = counters.get(plan);
  if (known !== undefined) return known;
  const made = plan.cells.flatMap((cell, index) => (cell.cell === 'counter' ? [index] : []));
  counters.set(plan, made);
  return made;
}

/** Room for the bytes of very many controls: views on large blocks are much cheaper than small arrays of their own. */
class Room {
  #block = new Uint8Array(0);
  #used = 0;

  copy(bytes: Uint8Array): Uint8Array {
    if (this.#used + bytes.length > this.#block.length) {
      this.#block = new Uint8Array(Math.max(1 << 18, bytes.length));
      this.#used = 0;
    }
    const view = this.#block.subarray(this.#used, this.#used + bytes.length);
    view.set(bytes);
    this.#used += bytes.length;
    return view;
  }

  /** Takes back the room that was handed out last, where it was not needed. */
  giveBack(bytes: Uint8Array): void {
    if (bytes.buffer === this.#block.buffer && bytes.byteOffset + bytes.length === this.#used)
      this.#used -= bytes.length;
  }
}

/** Why nothing carries the job on here: a law, a requirement of an entry, or no reason that the pack states. */
function refuteStop(plan: Plan, here: Waiting, found: Map<string, Refutation>): void {
  const { control } = here;
  const node = plan.nodes[control.at];
  // A hold without a way out is declared so: the job is closed as unfinished.
  if (node === undefined || control.hold >= 0) return;
  const place = { node: node.path, pointer: node.pointer, ...seenAs(plan, here) };
  const phase = progressOf(plan, control, control.at);
  const guards: readonly Guard[] =
    node.node !== 'step'
      ? []
      : phase === PHASE.act
        ? actFaults(node, control.bytes)
        : node.entries.flatMap((entry) => failing(plan.entries[entry]?.guards ?? [], control.bytes));
  for (const guard of guards) refuteOnce(found, { property: 'law', guard, ...place });
  if (guards.length === 0) refuteOnce(found, { property: 'goes-on', ...place });
}

function refuteOnce(found: Map<string, Refutation>, refutation: Refutation): void {
  const where = refutation.property === 'ends' ? refutation.guard.pointer : refutation.pointer;
  const what = refutation.property === 'goes-on' ? '' : refutation.guard.because.says;
  const key = `${refutation.property} ${where} ${what}`;
  if (!found.has(key)) found.set(key, refutation);
}

function seenAs(plan: Plan, here: Waiting): { trace: readonly Trace[]; states: ReadonlyMap<string, string> } {
  const trace: Trace[] = [];
  for (let one: Seen | undefined = here.seen; one?.parent !== undefined; one = one.parent) {
    const node = plan.nodes[one.parent.at];
    if (one.signal === undefined) continue;
    const last = one.isLast ? ({ isLast: true } as const) : {};
    trace.push({ node: node?.path ?? '', pointer: node?.pointer ?? '', signal: one.signal, ...last });
  }
  return { trace: trace.reverse(), states: describeCells(plan, here.control) };
}

const MOST_LETTERS = 10_000;

/** What tells two controls apart for what can follow. The progress of nodes follows from where the job is. */
function keyOf(plan: Plan, control: Control, liveness: Liveness): string {
  const phase = progressOf(plan, control, control.at);
  let key = `${control.at} ${phase} ${control.hold} ${control.closed ?? ''} `;
  const codes = liveness
    .at(control.at, phase)
    .map(({ cell, classes }) => classes[control.bytes[cell] ?? 0] ?? 0);
  // Many letters at once: a text that is put together letter by letter keeps all its parts, thirty times its size.
  for (let from = 0; from < codes.length; from += MOST_LETTERS)
    key += String.fromCharCode(...codes.slice(from, from + MOST_LETTERS));
  return key;
}

const ways = new WeakMap<Plan, ReadonlyMap<number, Control>>();

/** For each node that can be reached, the control in which a shortest way first comes to it. Made once for a plan. */
export function firstWays(plan: Plan): ReadonlyMap<number, Control> {
  const known = ways.get(plan);
  if (known !== undefined) return known;
  const found = new Map<number, Control>();
  explore(plan, MOST_STATES, (control) => {
    if (control.hold < 0 && !found.has(control.at))
      found.set(control.at, { ...control, bytes: control.bytes.slice() });
  });
  ways.set(plan, found);
  return found;
}
