import { decided } from '../job/control.ts';
import type { Control } from '../job/index.ts';
import type { Plan, PlanNode } from '../model/plan.ts';
import type { OpenCell } from './joined-places.ts';
import type { Liveness } from './liveness.ts';

/**
 * Finds which open cell the next thing that happens may look at. Open cells are narrowed to one value one after the other and
 * only when they have to be: what lies behind a decision is looked at when that decision is known.
 */
export class ReadingAhead {
  readonly #plan: Plan;
  readonly #liveness: Liveness;
  readonly #touched = new Map<number, ReadonlySet<number>>();

  constructor(plan: Plan, liveness: Liveness) {
    this.#plan = plan;
    this.#liveness = liveness;
  }

  /**
   * An open cell that may be looked at by what happens next, also by what the job comes past at `others`; undefined where
   * none is.
   */
  firstRead(control: Control, open: readonly OpenCell[], others: readonly number[]): number | undefined {
    const uses = this.#liveness.usesAt(control.at);
    const used = open.find(({ cell }) => uses.has(cell));
    if (used !== undefined) return used.cell;
    const node = this.#plan.nodes[control.at];
    if (node === undefined) return undefined;
    const touched = this.#touchedBy(node);
    return this.#firstPassed([...this.#liveness.following(node), ...others], control, open, touched);
  }

  /** An open cell that a decision looks at which the job passes when it comes to one of some nodes. */
  firstPassed(from: readonly number[], control: Control, open: readonly OpenCell[]): number | undefined {
    return this.#firstPassed(from, control, open, new Set());
  }

  #firstPassed(
    from: readonly number[],
    control: Control,
    open: readonly OpenCell[],
    touched: ReadonlySet<number>,
  ): number | undefined {
    const seen = new Set<number>();
    const waiting = [...from];
    for (let index = waiting.pop(); index !== undefined; index = waiting.pop()) {
      const node = this.#plan.nodes[index];
      if (node === undefined || seen.has(index)) continue;
      seen.add(index);
      const decided = this.#liveness.decisionCells(index);
      const read = open.find(({ cell }) => decided.includes(cell));
      if (read !== undefined) return read.cell;
      const isPassed = decided.some((cell) => touched.has(cell))
        ? undefined
        : passes(this.#plan, node, control);
      if (isPassed !== true) {
        // A step whose only-if is not known yet waits there, or is entered: either way the job stops.
        if (node.node === 'block' && node.first >= 0) waiting.push(node.first);
        if (node.node === 'choose') waiting.push(...node.cases.map((one) => one.body), node.otherwise);
      }
      const goesOn = isPassed !== false || node.node === 'choose' || asksNothing(node);
      if (goesOn) waiting.push(this.#liveness.beyond(node));
    }
    return undefined;
  }

  /** The cells that what happens at a node may change before the job comes to the next one. */
  #touchedBy(node: PlanNode): ReadonlySet<number> {
    const known = this.#touched.get(node.index);
    if (known !== undefined) return known;
    const touched = new Set<number>();
    if (node.node === 'step') {
      for (const effect of node.effects) touched.add(effect.cell);
      for (const index of node.entries) {
        const entry = this.#plan.entries[index];
        if (entry === undefined) continue;
        for (const cell of [entry.cell, ...entry.truths]) touched.add(cell);
        if (entry.entry === 'identity') touched.add(entry.partCell);
      }
    }
    this.#touched.set(node.index, touched);
    return touched;
  }
}

/** Whether a node is passed over in these states; undefined where that cannot be told yet. */
function passes(plan: Plan, node: PlanNode, control: Control): boolean | undefined {
  if (node.onlyIf === undefined) return false;
  const truth = decided(plan, node.onlyIf, control.bytes);
  return truth === undefined ? undefined : !truth;
}

const asksNothing = (node: PlanNode): boolean =>
  (node.node === 'block' && node.first < 0) ||
  (node.node === 'step' &&
    node.act === undefined &&
    node.entries.length === 0 &&
    node.check === undefined &&
    node.witness === undefined);
