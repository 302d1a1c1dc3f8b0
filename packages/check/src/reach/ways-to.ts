import {
  type Control,
  failing,
  isLive,
  PHASE,
  type Plan,
  progressOf,
  type Signal,
  type StepNode,
  startControl,
  strikes,
  type Test,
  waysOn,
} from '@ferrule/engine';
import type { Mark } from './mark.ts';
import { marksOfSignal, marksOfStart } from './marks-of-signal.ts';
import { cellsIn, reworkAfter } from './reachable-marks.ts';

/** One signal of a way. `isLast`: it came as often as it may, and what is said to follow then follows. */
export interface WaySignal {
  readonly at: number;
  readonly phase: number;
  readonly signal: Signal;
  readonly isLast: boolean;
}

/** Most places that one search tells apart. */
const MOST_PLACES = 25_000;

interface Seen {
  readonly parent: Seen | undefined;
  readonly step: WaySignal | undefined;
}

interface Waiting {
  readonly control: Control;
  readonly seen: Seen;
}

/**
 * For each mark that is wanted a way to it, in which as little as can be is out of the ordinary: everything conforms, is
 * answered with the first answer and goes on, but where the way has to leave that. Counters are not told apart, as in the
 * proof. `isAllowed` leaves signals out. A mark that is not among the answers was not found within the bound of the search.
 */
export function waysTo(
  plan: Plan,
  wanted: ReadonlySet<Mark>,
  isAllowed: (at: number, signal: Signal) => boolean = () => true,
): ReadonlyMap<Mark, readonly WaySignal[]> {
  const found = new Map<Mark, readonly WaySignal[]>();
  const start = startControl(plan);
  for (const mark of marksOfStart(plan, start)) if (wanted.has(mark)) found.set(mark, []);
  const keys = new PlaceKeys(plan);
  const struck = plan.nodes.flatMap((node) =>
    node.node === 'step' && node.struck !== undefined ? node : [],
  );
  const seen = new Set<string>();
  // By how much is out of the ordinary: what is not comes first.
  const waiting: Waiting[][] = [[{ control: start, seen: { parent: undefined, step: undefined } }]];
  for (let cost = 0; cost < waiting.length; cost++) {
    const places = waiting[cost] ?? [];
    for (let next = places.pop(); next !== undefined; next = places.pop()) {
      if (found.size === wanted.size || seen.size > MOST_PLACES) return found;
      // What was put off as out of the ordinary may have been come to ordinarily since.
      const here = keys.of(next.control);
      if (seen.has(here)) continue;
      seen.add(here);
      for (const { signal, from, extra, isLast } of movesFrom(plan, next.control, struck)) {
        if (!isAllowed(from.at, signal)) continue;
        const { marks, after } = marksOfSignal(plan, from, signal);
        const step = { at: from.at, phase: progressOf(plan, from, from.at), signal, isLast };
        const way: Seen = { parent: next.seen, step };
        for (const mark of marks) if (wanted.has(mark) && !found.has(mark)) found.set(mark, wayOf(way));
        if (after.closed !== undefined || seen.has(keys.of(after))) continue;
        const list = waiting[cost + extra];
        if (list === undefined) {
          for (let more = waiting.length; more < cost + extra; more++) waiting[more] = [];
          waiting[cost + extra] = [{ control: after, seen: way }];
        } else list.push({ control: after, seen: way });
      }
    }
  }
  return found;
}

function wayOf(seen: Seen): readonly WaySignal[] {
  const way: WaySignal[] = [];
  for (let one: Seen | undefined = seen; one?.step !== undefined; one = one.parent) way.push(one.step);
  return way.reverse();
}

interface PlanMove {
  readonly signal: Signal;
  readonly from: Control;
  /** How far it is out of the ordinary. */
  readonly extra: number;
  readonly isLast: boolean;
}

function* movesFrom(plan: Plan, control: Control, struck: readonly StepNode[]): Generator<PlanMove> {
  const ways = waysOn(plan, control);
  const usual = usualOf(plan, ways);
  const node = plan.nodes[control.at];
  for (const signal of ways) {
    const rework = node?.node === 'step' ? reworkAfter(node, signal) : undefined;
    const extra = signal === usual ? 0 : 1;
    if (rework === undefined || rework.attempts > 1)
      yield { signal, from: withCount(control, rework?.counter, 0), extra, isLast: false };
    if (rework !== undefined)
      yield {
        signal,
        from: copyWith(control, rework.counter, rework.attempts - 1),
        extra: extra + 1,
        isLast: true,
      };
  }
  if (control.hold >= 0) return;
  for (const strike of strikesThatBind(plan, control, struck))
    yield { signal: strike, from: control, extra: 2, isLast: false };
}

const withCount = (control: Control, counter: number | undefined, count: number): Control =>
  counter === undefined || control.bytes[counter] === count ? control : copyWith(control, counter, count);

function copyWith(control: Control, cell: number, value: number): Control {
  const bytes = control.bytes.slice();
  bytes[cell] = value;
  return { ...control, bytes };
}

/** What ordinarily happens: what is done is done, conforms, is the part that belongs there; what is open is left so. */
export function usualOf(plan: Plan, ways: readonly Signal[]): Signal | undefined {
  const isUsual = (signal: Signal): boolean => {
    switch (signal.signal) {
      case 'omitted':
        return false;
      case 'observed': {
        const entry = plan.entries[signal.entry];
        return entry?.entry === 'observation' && entry.answers[signal.answer]?.conforming === true;
      }
      case 'identified':
        return signal.part === 'found' || signal.part === 'own';
      case 'judged':
        return signal.outcome === 'conforming';
      default:
        return true;
    }
  };
  return ways.find(isUsual) ?? ways[0];
}

/** Strikes after which what a step says about them follows: the entry cannot be taken again as things stand. */
function strikesThatBind(plan: Plan, control: Control, steps: readonly StepNode[]): readonly Signal[] {
  const isBound = (entry: number): boolean => {
    const taken = plan.entries[entry];
    return isLive(taken, control.bytes) && failing(taken?.guards ?? [], control.bytes).length > 0;
  };
  const bound = steps.filter(
    (step) => progressOf(plan, control, step.index) > PHASE.entries && step.entries.some(isBound),
  );
  if (bound.length === 0) return [];
  return strikes(plan, control).filter(
    (one) => one.signal === 'struck' && isBound(one.entry) && bound.some((step) => step.index === one.node),
  );
}

/** What tells places apart for what can follow. Cells that nothing ahead reads any more are left out. */
class PlaceKeys {
  readonly #plan: Plan;
  /** Cells that something reads, each with the last node that may still do so, and the values that the end tells apart. */
  readonly #cells: readonly {
    readonly cell: number;
    readonly until: number;
    readonly ends: ReadonlySet<number> | undefined;
  }[];

  constructor(plan: Plan) {
    this.#plan = plan;
    const until = new Map<number, number>();
    const backs = plan.nodes.flatMap((node) =>
      node.node === 'block' && node.resumes !== undefined
        ? [{ at: node.resumes.at, end: plan.nodes[node.parent]?.end ?? node.end }]
        : [],
    );
    const read = (cell: number, node: number): void => {
      let last = node;
      // What lies behind a way back may be come past again.
      for (let before = -1; before !== last; ) {
        before = last;
        for (const back of backs) if (back.at <= last && back.end > last) last = back.end;
      }
      until.set(cell, Math.max(until.get(cell) ?? -1, last));
    };
    for (const node of plan.nodes) for (const cell of cellsRead(plan, node)) read(cell, node.index);
    const ends = new Map<number, Set<number>>();
    for (const guard of plan.ends) atoms(guard.test, ends);
    // A way of release that is used up is no way any more.
    for (const hold of plan.holds)
      for (const release of hold.releases)
        if (release.by === 'rework') until.set(release.counter, plan.nodes.length);
    const cells = new Set([...until.keys(), ...ends.keys()]);
    this.#cells = [...cells].map((cell) => ({ cell, until: until.get(cell) ?? -1, ends: ends.get(cell) }));
  }

  of(control: Control): string {
    const phase = progressOf(this.#plan, control, control.at);
    let key = `${control.at} ${phase} ${control.hold} `;
    // An answer matters to the verdict of its own step, and to what else reads it.
    const node = this.#plan.nodes[control.at];
    if (node?.node === 'step')
      for (const entry of node.entries)
        key += String.fromCharCode(control.bytes[this.#plan.entries[entry]?.cell ?? 0] ?? 0);
    key += ' ';
    for (const { cell, until, ends } of this.#cells) {
      const value = control.bytes[cell] ?? 0;
      key += String.fromCharCode(
        control.at <= until ? value + 2 : ends === undefined ? 0 : ends.has(value) ? 1 : 0,
      );
    }
    return key;
  }
}

function atoms(test: Test, into: Map<number, Set<number>>): void {
  if ('cell' in test) {
    const known = into.get(test.cell) ?? new Set();
    for (const value of test.among) known.add(value);
    into.set(test.cell, known);
  } else if ('not' in test) atoms(test.not, into);
  else for (const one of 'all' in test ? test.all : test.any) atoms(one, into);
}

function cellsRead(plan: Plan, node: Plan['nodes'][number]): readonly number[] {
  const decisions = [node.onlyIf, ...(node.node === 'choose' ? node.cases.map((one) => one.when) : [])];
  const found = decisions.flatMap((one) => {
    if (one === undefined) return [];
    if (one.by === 'test') return [...cellsIn(one.test), ...(one.needs ?? [])];
    return plan.conditions[one.condition]?.cell ?? [];
  });
  if (node.node !== 'step') return found;
  const entries = node.entries.flatMap((index) => plan.entries[index] ?? []);
  const guards = [...node.guards, ...node.invariants, ...entries.flatMap((one) => one.guards)];
  return [
    ...found,
    ...guards.flatMap((one) => cellsIn(one.test)),
    ...node.effects.flatMap((one) => ('table' in one ? one.cell : [])),
    ...entries.flatMap((one) => (one.entry === 'identity' ? [one.partCell, ...one.matched] : [])),
  ];
}
