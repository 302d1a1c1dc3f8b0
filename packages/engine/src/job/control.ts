import {
  type Decision,
  ENTRY,
  type Entry,
  type Guard,
  type Plan,
  type PlanNode,
  type Test,
  TRUTH,
} from '../model/plan.ts';
import { controlLength } from './since.ts';

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
  /** One byte for each cell of the plan, the progress of each node, and what has changed since an entry was taken. */
  readonly bytes: Uint8Array;
}

/**
 * How far a node has come. A step goes through its phases in this order and leaves out those that it does not have;
 * `afresh` is left at once for `entries`, and forgets what they hold. A block is `begun` until it is done; a choice holds
 * `CASE` + the number of the case that was chosen. `passed` is a node that its only-if has left out.
 */
export const PHASE = {
  unstarted: 0,
  deciding: 1,
  hazards: 2,
  act: 3,
  afresh: 4,
  entries: 5,
  judge: 6,
  reworking: 7,
  witness: 8,
  holding: 9,
  done: 10,
  passed: 11,
  begun: 12,
  CASE: 16,
} as const;

/** The control in which a job starts: nothing done, cells as the plan says. The job walks on from here. */
export function blankControl(plan: Plan): Control {
  const bytes = new Uint8Array(controlLength(plan));
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

/** Whether an entry is recorded and still counts. */
export function isLive(entry: Entry | undefined, bytes: Uint8Array): boolean {
  if (entry === undefined) return false;
  const value = bytes[entry.cell] ?? 0;
  return value !== ENTRY.none && !(entry.entry === 'reading' && value === ENTRY.stale);
}

/**
 * The steps that took what an entry holds, as far as the control knows: those that have come beyond it, and still lie on
 * the way of the job. Where a value has outlived all of them, the ones that were opened anew or left out since.
 */
export function tookIt(plan: Plan, control: Pick<Control, 'bytes'>, index: number): readonly number[] {
  const entry = plan.entries[index];
  if (entry === undefined) return [];
  const took = entry.takers.filter((taker) => hasTaken(plan, control, entry, taker));
  if (took.length > 0 || control.bytes[entry.cell] === ENTRY.none) return took;
  return entry.takers.filter((taker) => progressOf(plan, control, taker) !== PHASE.entries);
}

/** Whether a step has taken an entry, and was neither opened anew nor left out since. */
export function hasTaken(plan: Plan, control: Pick<Control, 'bytes'>, entry: Entry, taker: number): boolean {
  const progress = progressOf(plan, control, taker);
  const isBeyond = progress > PHASE.entries || (progress === PHASE.entries && isLive(entry, control.bytes));
  return isBeyond && !isLeftOut(plan, control, taker);
}

/** Whether a node, or one around it, is passed over, or lies in a case that was not chosen. */
export function isLeftOut(plan: Plan, control: Pick<Control, 'bytes'>, from: number): boolean {
  let inside = from;
  for (let node = plan.nodes[from]; node !== undefined; node = plan.nodes[node.parent]) {
    const progress = progressOf(plan, control, node.index);
    if (progress === PHASE.passed) return true;
    if (node.node === 'choose' && progress >= PHASE.CASE) {
      if ((node.cases[progress - PHASE.CASE]?.body ?? node.otherwise) !== inside) return true;
    }
    inside = node.index;
  }
  return false;
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
