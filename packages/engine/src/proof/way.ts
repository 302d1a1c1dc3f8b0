import { remedyFor } from '../job/advance.ts';
import { advance, type Control, PHASE, progressOf, type Signal, startControl, waysOn } from '../job/index.ts';
import type { Plan } from '../model/plan.ts';

/** One step of a way through a plan: what happened, and where the job stood before. */
export interface Trace {
  readonly node: string;
  readonly pointer: string;
  readonly signal: Signal;
  /** This outcome came as often as it may; what is said to follow then follows. */
  readonly isLast?: true;
}

/** How a place was reached. The bytes of its control are let go once what follows it is known. */
export type Seen =
  | { readonly seen: 'start' }
  | {
      readonly seen: 'after';
      readonly parent: Seen;
      /** Where the job stood before. */
      readonly at: number;
      readonly signal: Signal;
      readonly isLast: boolean;
      /** Cells that were open before and that this has given one value. */
      readonly closed: readonly number[];
    }
  /** A cell that could have several values is looked at with one of them. */
  | { readonly seen: 'narrowed'; readonly parent: Seen; readonly cell: number; readonly value: number }
  /** Places that differ in one cell alone, taken together. */
  | {
      readonly seen: 'joined';
      readonly cell: number;
      readonly from: readonly { readonly values: readonly number[]; readonly parent: Seen }[];
    };

/** The way to a place, from the start. */
export function wayTo(plan: Plan, last: Seen): readonly Trace[] {
  const trace: Trace[] = [];
  const wanted = new Map<number, number>();
  for (let one = last; one.seen !== 'start'; ) {
    if (one.seen === 'joined') one = partOf(one, wanted);
    else {
      if (one.seen === 'narrowed') {
        if (!wanted.has(one.cell)) wanted.set(one.cell, one.value);
      } else {
        const node = plan.nodes[one.at];
        const isLast = one.isLast ? ({ isLast: true } as const) : {};
        trace.push({ node: node?.path ?? '', pointer: node?.pointer ?? '', signal: one.signal, ...isLast });
        for (const cell of one.closed) wanted.delete(cell);
      }
      one = one.parent;
    }
  }
  return trace.reverse();
}

/** The place among those that were taken together from which the cell has the value that was looked at later. */
function partOf(joined: Extract<Seen, { seen: 'joined' }>, wanted: Map<number, number>): Seen {
  const value = wanted.get(joined.cell);
  const part = joined.from.find((one) => value === undefined || one.values.includes(value)) ?? joined.from[0];
  if (part === undefined) throw new Error('nothing was taken together');
  if (part.values.length === 1) wanted.delete(joined.cell);
  return part.parent;
}

/** Steps that a search for one more round of a rework may take. */
const MOST_STEPS = 5000;

/**
 * A way with every round of a rework that it only says to be the last one written out: signals that `advance` takes from
 * the start of a job, one after the other. Undefined where no further round was found.
 */
export function spellOut(plan: Plan, trace: readonly Trace[]): readonly Signal[] | undefined {
  const signals: Signal[] = [];
  let control = startControl(plan);
  const take = (signal: Signal): void => {
    signals.push(signal);
    control = advance(plan, control, signal);
  };
  for (const { signal, isLast } of trace) {
    const node = plan.nodes[control.at];
    const remedy =
      signal.signal === 'judged' && node?.node === 'step' ? remedyFor(node, signal.outcome) : undefined;
    if (remedy?.remedy === 'rework') {
      const wanted = isLast === true ? remedy.attempts - 1 : 0;
      // One more try than the way tells of is no other way; one that is spent is.
      if (isLast !== true && (control.bytes[remedy.counter] ?? 0) >= remedy.attempts - 1) return undefined;
      for (let tries = control.bytes[remedy.counter] ?? 0; tries < wanted; tries++) {
        const round = roundTo(plan, control, signal, remedy.counter);
        if (round === undefined) return undefined;
        for (const one of round) take(one);
      }
    }
    take(signal);
  }
  return signals;
}

/** The shortest way from a verdict through its rework and back to the same step, ready for the same verdict. */
function roundTo(plan: Plan, from: Control, signal: Signal, counter: number): readonly Signal[] | undefined {
  interface Way {
    readonly control: Control;
    readonly signal: Signal;
    readonly before?: Way;
  }
  const wanted = (from.bytes[counter] ?? 0) + 1;
  const text = JSON.stringify(signal);
  const seen = new Set<string>();
  let wave: Way[] = [{ control: advance(plan, from, signal), signal }];
  for (let steps = 0; wave.length > 0 && steps < MOST_STEPS; ) {
    const next: Way[] = [];
    for (const here of wave) {
      const { control } = here;
      const ways = waysOn(plan, control);
      const isBack =
        control.at === from.at &&
        progressOf(plan, control, control.at) === PHASE.judge &&
        control.bytes[counter] === wanted &&
        ways.some((one) => JSON.stringify(one) === text);
      if (isBack) {
        const round: Signal[] = [];
        for (let one: Way | undefined = here; one !== undefined; one = one.before) round.push(one.signal);
        return round.reverse();
      }
      for (const way of ways) {
        const after = advance(plan, control, way);
        const key = `${after.at} ${after.hold} ${after.bytes}`;
        steps++;
        if (seen.has(key)) continue;
        seen.add(key);
        next.push({ control: after, signal: way, before: here });
      }
    }
    wave = next;
  }
  return undefined;
}
