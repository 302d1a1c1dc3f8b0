import {
  type Decision,
  ENTRY,
  type Guard,
  type Plan,
  type PlanNode,
  type Test,
  TRUTH,
} from '../model/plan.ts';

/**
 * Where a job stands, and nothing else: finite, so that the same states can be run and explored. It never holds a
 * measured number.
 */
export interface Control {
  /** The node that the job is at; `plan.nodes.length` when every node is done. */
  readonly at: number;
  /** The open hold, or −1. */
  readonly hold: number;
  readonly parked: boolean;
  /** `undefined` while the job is open. */
  readonly closed?: 'finished' | 'unfinished';
  /** One byte for each cell of the plan, then the progress of each node. */
  readonly bytes: Uint8Array;
}

/**
 * How far a node has come. A step goes through its phases in this order and leaves out those that it does not have; a
 * block is `begun` until it is done; a choice holds `CASE` + the number of the case that was chosen.
 */
export const PHASE = {
  unstarted: 0,
  begun: 1,
  deciding: 2,
  hazards: 3,
  act: 4,
  entries: 5,
  judge: 6,
  reworking: 7,
  witness: 8,
  holding: 9,
  done: 10,
  CASE: 16,
} as const;

/** The control in which a job starts: nothing done, cells as the plan says. The job walks on from here. */
export function blankControl(plan: Plan): Control {
  const bytes = new Uint8Array(plan.cells.length + plan.nodes.length);
  bytes.set(plan.starts);
  return { at: 0, hold: -1, parked: false, bytes };
}

/** Progress of a node. */
export function progressOf(plan: Plan, control: Pick<Control, 'bytes'>, node: number): number {
  return control.bytes[plan.cells.length + node] ?? PHASE.unstarted;
}

/** The node that the job is at, unless every node is done. */
export function nodeAt(plan: Plan, control: Control): PlanNode | undefined {
  return plan.nodes[control.at];
}

/** Whether a test over cells holds. */
export function holds(test: Test, bytes: Uint8Array): boolean {
  if ('cell' in test) return test.among.includes(bytes[test.cell] ?? 0);
  if ('all' in test) return test.all.every((one) => holds(one, bytes));
  if ('any' in test) return test.any.some((one) => holds(one, bytes));
  return !holds(test.not, bytes);
}

/** Whether a decision holds; undefined while a reading or an observation that it needs is missing. */
export function decided(plan: Plan, decision: Decision, bytes: Uint8Array): boolean | undefined {
  if (decision.by === 'test') {
    const isKnown = decision.needs?.every((cell) => bytes[cell] !== ENTRY.none) ?? true;
    return isKnown ? holds(decision.test, bytes) : undefined;
  }
  const truth = bytes[plan.conditions[decision.condition]?.cell ?? 0];
  return truth === TRUTH.true ? true : truth === TRUTH.false ? false : undefined;
}

/** The guards that do not hold. */
export function failing(guards: readonly Guard[], bytes: Uint8Array): readonly Guard[] {
  return guards.filter((guard) => !holds(guard.test, bytes));
}

/** The cells with their values in words, for a person: `pump@3: clamped`. */
export function describeCells(plan: Plan, control: Control): ReadonlyMap<string, string> {
  const out = new Map<string, string>();
  plan.cells.forEach((cell, index) => {
    const value = control.bytes[index] ?? 0;
    if (cell.cell === 'counter') out.set(cell.name, String(value));
    else out.set(cell.name, cell.values[value] ?? '?');
  });
  return out;
}
