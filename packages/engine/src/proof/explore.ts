import { actFaults } from '../job/advance.ts';
import { advance, type Control, describeCells, failing, PHASE, progressOf, type Signal, startControl, waysOn } from '../job/index.ts';
import type { Guard, Plan } from '../model/plan.ts';
import { Liveness } from './liveness.ts';

/** One step of a way through a plan: what happened, and where the job stood before. */
export interface Trace {
  readonly node: string;
  readonly pointer: string;
  readonly signal: Signal;
}

export type Refutation =
  /** A step can be reached in states in which a law, a requirement or a change forbids it. */
  | { readonly property: 'law'; readonly guard: Guard; readonly node: string; readonly pointer: string; readonly trace: readonly Trace[]; readonly states: ReadonlyMap<string, string> }
  /** The job can come to a place from which nothing carries it on. */
  | { readonly property: 'goes-on'; readonly node: string; readonly pointer: string; readonly trace: readonly Trace[]; readonly states: ReadonlyMap<string, string> }
  /** The job can end in states other than the declared ones. */
  | { readonly property: 'ends'; readonly guard: Guard; readonly trace: readonly Trace[]; readonly states: ReadonlyMap<string, string> };

export interface Exploration {
  readonly refutations: readonly Refutation[];
  readonly states: number;
  /** Paths of steps that no way reaches. */
  readonly unreached: readonly string[];
  readonly reachesEnd: boolean;
  /** The exploration stopped at its bound before it had seen everything. */
  readonly cutShort: boolean;
}

interface Seen {
  readonly control: Control;
  readonly parent: Seen | undefined;
  readonly signal: Signal | undefined;
}

export const MOST_STATES = 200_000;

/**
 * Explores every way on through a plan, breadth first, with the `advance` that runs jobs, and refutes the laws and the
 * declared end with a shortest way there. Strikes and parking are not explored here.
 */
export function explore(plan: Plan, mostStates: number = MOST_STATES): Exploration {
  const start: Seen = { control: startControl(plan), parent: undefined, signal: undefined };
  const liveness = new Liveness(plan);
  const seen = new Set([keyOf(plan, start.control, liveness)]);
  const queue: Seen[] = [start];
  const reached = new Set<number>();
  const refutations = new Map<string, Refutation>();
  let reachesEnd = false;
  let cutShort = false;
  for (let head = 0; head < queue.length; head++) {
    const here = queue[head];
    if (here === undefined) break;
    const { control } = here;
    reached.add(control.at);
    if (control.closed !== undefined) continue;
    const ways = waysOn(plan, control);
    if (control.at >= plan.nodes.length && control.hold < 0) {
      reachesEnd = true;
      for (const guard of failing(plan.ends, control.bytes)) refuteOnce(refutations, { property: 'ends', guard, ...seenAs(plan, here) });
    } else if (ways.every((way) => way.signal === 'omitted')) {
      refuteStop(plan, here, refutations);
    }
    for (const signal of ways) {
      const next = advance(plan, control, signal);
      const key = keyOf(plan, next, liveness);
      if (seen.has(key)) continue;
      if (seen.size >= mostStates) {
        cutShort = true;
        continue;
      }
      seen.add(key);
      queue.push({ control: next, parent: here, signal });
    }
  }
  const unreached = plan.nodes.filter((node) => node.node === 'step' && !reached.has(node.index)).map((node) => node.path);
  return { refutations: [...refutations.values()], states: seen.size, unreached, reachesEnd, cutShort };
}

/** Why nothing carries the job on here: a law, a requirement of an entry, or no reason that the pack states. */
function refuteStop(plan: Plan, here: Seen, found: Map<string, Refutation>): void {
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

function seenAs(plan: Plan, here: Seen): { trace: readonly Trace[]; states: ReadonlyMap<string, string> } {
  const trace: Trace[] = [];
  for (let one: Seen | undefined = here; one?.parent !== undefined; one = one.parent) {
    const node = plan.nodes[one.parent.control.at];
    if (one.signal !== undefined) trace.push({ node: node?.path ?? '', pointer: node?.pointer ?? '', signal: one.signal });
  }
  return { trace: trace.reverse(), states: describeCells(plan, here.control) };
}

/** What tells two controls apart for what can follow. The progress of nodes follows from where the job is. */
function keyOf(plan: Plan, control: Control, liveness: Liveness): string {
  const phase = progressOf(plan, control, control.at);
  let key = `${control.at} ${phase} ${control.hold} ${control.closed ?? ''} `;
  for (const { cell, classes } of liveness.at(control.at, phase)) {
    key += String.fromCharCode(classes[control.bytes[cell] ?? 0] ?? 0);
  }
  return key;
}
