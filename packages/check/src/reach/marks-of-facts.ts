import { type Control, type Fact, type Job, jobFrom, type Plan, signalOf } from '@ferrule/engine';
import type { Mark } from './mark.ts';
import { marksOfSignal, marksOfStart } from './marks-of-signal.ts';

/** What the facts of a job reached of its plan. */
export function marksOfFacts(plan: Plan, facts: readonly Fact[]): ReadonlySet<Mark> {
  const [first, ...rest] = facts;
  if (first === undefined) return new Set();
  const started = jobFrom(plan, first);
  const marks = new Set<Mark>(marksOfStart(plan, started.control));
  let { control } = started;
  for (const { fact } of rest) {
    const signal = signalOf(plan, standingAt(started, control), fact);
    if (signal === undefined) continue;
    const reached = marksOfSignal(plan, control, signal);
    for (const mark of reached.marks) marks.add(mark);
    control = reached.after;
  }
  return marks;
}

/** A job of which only the control is told: what a fact means to the control depends on nothing else. */
const standingAt = ({ started, seq, since, at }: Job, control: Control): Job => ({
  started,
  facts: [],
  seq,
  control,
  taken: [],
  underWay: [],
  instruments: [],
  allowed: [],
  usedUp: [],
  persons: [],
  doers: [],
  since,
  at,
  doneAt: new Map(),
});
