import {
  type Control,
  failing,
  type Guard,
  PHASE,
  type Plan,
  type PlanNode,
  progressOf,
  type Remedy,
  type Signal,
  type StepNode,
  startControl,
  strikesOf,
  type Test,
  waysOn,
} from '@ferrule/engine';
import { type ExploreOptions, explore } from '@ferrule/engine/proof';
import { type Mark, markOf } from './mark.ts';
import { marksOfSignal, marksOfStart, parkingPointer, remediesOf } from './marks-of-signal.ts';

/** Which marks can be reached, as far as that was explored. */
export interface Reachable {
  readonly marks: ReadonlySet<Mark>;
  /** The exploration saw everything: what is not among the marks cannot be reached. */
  readonly isComplete: boolean;
}

/**
 * What some way through a plan reaches: every control that the proof comes to, with each signal that
 * is possible there. Strikes, which the proof leaves out, are tried where a step says what follows one. Laws are never
 * reached on a way that is proved; they are left out here.
 */
export function reachableMarks(plan: Plan): Reachable {
  const marks = new Set<Mark>(marksOfStart(plan, startControl(plan)));
  const afterStrikes = new Set<Mark>();
  const struck = new StruckWays(plan, afterStrikes);
  const exploration = explore(plan, {
    withoutStrikes: true,
    onReach: (control, open) => {
      for (const one of eachOf(control, open)) {
        for (const { signal, from } of waysFrom(plan, one))
          for (const mark of marksOfSignal(plan, from, signal).marks) marks.add(mark);
        struck.tryAt(one);
      }
      const canPark = plan.parking !== undefined && failing([plan.parking.guard], control.bytes).length === 0;
      if (canPark && control.hold < 0 && control.closed === undefined) {
        marks.add(markOf('parking', parkingPointer(plan), 'parked'));
        marks.add(markOf('parking', parkingPointer(plan), 'resumed'));
      }
    },
  });
  // A release that is offered so often is used up by coming back so often. A strike that would come to a hold without
  // any way out is refused.
  for (const hold of plan.holds)
    for (const [number, release] of hold.releases.entries()) {
      const at = `${hold.pointer}/release/${number}`;
      if (release.by === 'rework' && marks.has(markOf('release', at)))
        marks.add(markOf('used-up', `${at}/times`));
    }
  for (const mark of afterStrikes) marks.add(mark);
  return { marks, isComplete: !exploration.cutShort };
}

type Open = Parameters<NonNullable<ExploreOptions['onReach']>>[1];

/** A control with each value that its open cells may have, one cell after the other. */
function* eachOf(control: Control, open: Open): Generator<Control> {
  yield control;
  for (const { cell, values } of open)
    for (const value of values) {
      if (value === control.bytes[cell]) continue;
      const bytes = control.bytes.slice();
      bytes[cell] = value;
      yield { ...control, bytes };
    }
}

/** Every way on, and where a rework counts, as one of several and as the last one. */
function* waysFrom(
  plan: Plan,
  control: Control,
): Generator<{ readonly signal: Signal; readonly from: Control }> {
  const node = plan.nodes[control.at];
  for (const signal of waysOn(plan, control)) {
    yield { signal, from: control };
    const rework = node?.node === 'step' ? reworkAfter(node, signal) : undefined;
    if (rework === undefined) continue;
    const bytes = control.bytes.slice();
    bytes[rework.counter] = rework.attempts - 1;
    yield { signal, from: { ...control, bytes } };
  }
}

/** The rework that a verdict leads to. */
export function reworkAfter(
  node: StepNode,
  signal: Signal,
): Extract<Remedy, { remedy: 'rework' }> | undefined {
  if (signal.signal !== 'judged') return undefined;
  const found = remediesOf(node).find((one) => one.after.includes(signal.outcome))?.remedy;
  return found?.remedy === 'rework' ? found : undefined;
}

/** A step that says what follows a strike, and the cells that what follows can be told apart by. */
interface StruckStep {
  readonly step: StepNode;
  /** The entries that it takes, by their place in the plan. */
  readonly entries: readonly number[];
  readonly guards: readonly Guard[];
  readonly reads: readonly number[];
  readonly tried: Set<string>;
}

/** What follows a strike, tried from the controls that the proof comes to. */
class StruckWays {
  readonly #plan: Plan;
  readonly #marks: Set<Mark>;
  readonly #steps: readonly StruckStep[];

  constructor(plan: Plan, marks: Set<Mark>) {
    this.#plan = plan;
    this.#marks = marks;
    this.#steps = plan.nodes.flatMap((step) => {
      if (step.node !== 'step' || step.struck === undefined) return [];
      const guards = step.entries.flatMap((index) => plan.entries[index]?.guards ?? []);
      const inside = plan.nodes.slice(step.index + 1, step.end);
      const reads = new Set([...guards.flatMap((one) => cellsIn(one.test)), ...inside.flatMap(cellsReadAt)]);
      const entries = plan.entries.flatMap(({ takers }, index) =>
        takers.includes(step.index) ? [index] : [],
      );
      return { step, entries, guards, reads: [...reads], tried: new Set<string>() };
    });
  }

  tryAt(control: Control): void {
    if (control.hold >= 0 || control.closed !== undefined) return;
    for (const struck of this.#steps) {
      const { step, entries } = struck;
      if (progressOf(this.#plan, control, step.index) < PHASE.entries) continue;
      if (failing(struck.guards, control.bytes).length === 0 || !isNew(this.#plan, struck, control)) continue;
      for (const signal of entries.flatMap((entry) => strikesOf(this.#plan, control, entry))) {
        if (signal.node !== step.index) continue;
        this.#goOn(struck, control, signal);
        if (step.struck?.remedy !== 'rework') continue;
        const bytes = control.bytes.slice();
        bytes[step.struck.counter] = step.struck.attempts - 1;
        this.#goOn(struck, { ...control, bytes }, signal);
      }
    }
  }

  /** From the strike through what it leads to, until the job is out of it again. */
  #goOn(struck: StruckStep, control: Control, strike: Signal): void {
    const { step } = struck;
    const waiting: { readonly control: Control; readonly signal: Signal }[] = [{ control, signal: strike }];
    for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
      const { marks, after } = marksOfSignal(this.#plan, next.control, next.signal);
      for (const mark of marks) this.#marks.add(mark);
      const isInside = after.at > step.index && after.at < step.end;
      if (!isInside && (after.hold < 0 || after.at !== step.index)) continue;
      if (!isNew(this.#plan, struck, after)) continue;
      for (const { signal, from } of waysFrom(this.#plan, after)) waiting.push({ control: from, signal });
    }
  }
}

/** Whether nothing like this control has been tried: beyond what a strike leads to, its place makes no difference. */
function isNew(plan: Plan, { step, reads, tried }: StruckStep, control: Control): boolean {
  const isInside = control.at >= step.index && control.at < step.end;
  const place = isInside ? `${control.at} ${progressOf(plan, control, control.at)}` : '';
  const key = `${place} ${control.hold} ${reads.map((cell) => control.bytes[cell]).join()}`;
  if (tried.has(key)) return false;
  tried.add(key);
  return true;
}

function cellsReadAt(node: PlanNode): readonly number[] {
  const decisions = [node.onlyIf, ...(node.node === 'choose' ? node.cases.map((one) => one.when) : [])];
  const guards = node.node === 'step' ? [...node.guards, ...node.invariants] : [];
  return [
    ...decisions.flatMap((one) => (one?.by === 'test' ? cellsIn(one.test) : [])),
    ...guards.flatMap((one) => cellsIn(one.test)),
  ];
}

/** Every cell that a test reads. */
export function cellsIn(test: Test): readonly number[] {
  if ('cell' in test) return [test.cell];
  if ('not' in test) return cellsIn(test.not);
  return ('all' in test ? test.all : test.any).flatMap(cellsIn);
}
