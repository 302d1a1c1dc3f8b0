import {
  advance,
  type Control,
  type Plan,
  progressOf,
  type Signal,
  startControl,
  waysOn,
} from '@ferrule/engine';
import { spellOut } from '@ferrule/engine/proof';
import type { Mark } from './mark.ts';
import { marksOfSignal } from './marks-of-signal.ts';
import { usualOf, type WaySignal } from './ways-to.ts';

/** The control after signals from the start of a job. */
export const controlAfter = (plan: Plan, signals: readonly Signal[]): Control =>
  signals.reduce((control, signal) => advance(plan, control, signal), startControl(plan));

/** A way with its rounds written out: signals that a job emits. Undefined where counters do not let it be gone. */
export function spelled(plan: Plan, way: readonly WaySignal[]): readonly Signal[] | undefined {
  const trace = way.map(({ at, signal, isLast }) => {
    const node = plan.nodes[at];
    const last = isLast ? ({ isLast: true } as const) : {};
    return { node: node?.path ?? '', pointer: node?.pointer ?? '', signal, ...last };
  });
  return spellOut(plan, trace);
}

/** Moves after which a job that goes round is given up. */
const MOST_MOVES = 20_000;

/**
 * Goes on with what was done last wherever the job has been already, until a mark is reached: so a release is used up, and
 * the hold met again. Undefined where that does not come about.
 */
export function repeatedUntil(
  plan: Plan,
  signals: readonly Signal[],
  mark: Mark,
): readonly Signal[] | undefined {
  const last = new Map<string, Signal>();
  const out = [...signals];
  let control = startControl(plan);
  for (const signal of signals) {
    last.set(placeOf(plan, control, signal), signal);
    control = advance(plan, control, signal);
  }
  for (let moves = 0; moves < MOST_MOVES && control.closed === undefined; moves++) {
    const ways = waysOn(plan, control);
    const known = ways.flatMap((way) => last.get(placeOf(plan, control, way)) ?? []);
    const signal =
      known.find((one) => ways.some((way) => JSON.stringify(way) === JSON.stringify(one))) ??
      usualOf(plan, ways);
    if (signal === undefined) return undefined;
    out.push(signal);
    const { marks, after } = marksOfSignal(plan, control, signal);
    if (marks.has(mark)) return out;
    control = after;
  }
  return undefined;
}

function placeOf(plan: Plan, control: Control, signal: Signal): string {
  const entry = 'entry' in signal ? signal.entry : '';
  const phase = control.at < plan.nodes.length ? progressOf(plan, control, control.at) : 0;
  return `${control.at} ${phase} ${control.hold} ${entry}`;
}

/** The signals with which a job then ordinarily goes on to its end, or to a hold that somebody has to decide on. */
export function usualEnd(plan: Plan, from: Control): readonly Signal[] | undefined {
  const out: Signal[] = [];
  let control = from;
  for (let moves = 0; moves < MOST_MOVES; moves++) {
    if (control.closed !== undefined) return out;
    const isPoint = plan.nodes[control.at]?.node === 'hold';
    if (control.hold >= 0 && !isPoint) return out;
    const signal = usualOf(plan, waysOn(plan, control));
    if (signal === undefined) return undefined;
    out.push(signal);
    control = advance(plan, control, signal);
  }
  return undefined;
}
