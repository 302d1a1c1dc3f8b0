import type { Plan, PlanNode, StepNode } from '@ferrule/engine';

/** What the cells hold, as far as it is certain. */
export type Known = Map<number, number>;

/**
 * Does the nodes of a plan from `from` until `until`, one after the other, as they are done when everything conforms:
 * without remedies and releases. What a condition decides is not known, so a cell that a step under one changes is
 * forgotten. `visit` sees each step that is done in any case, before it acts.
 */
export function runStraight(
  plan: Plan,
  from: number,
  until: number,
  known: Known,
  visit?: (step: StepNode, known: Known) => void,
): void {
  let conditionalUntil = from;
  for (let index = from; index < until; ) {
    const node = plan.nodes[index];
    if (node === undefined) return;
    if (node.onlyIf !== undefined || node.node === 'choose')
      conditionalUntil = Math.max(conditionalUntil, node.end);
    if (node.node === 'step') {
      const isCertain = index >= conditionalUntil;
      if (isCertain) visit?.(node, known);
      act(node, known, isCertain);
    }
    index = isLeaf(node) ? node.end : index + 1;
  }
}

/** What is inside a step or a hold point is done only when something does not conform. */
const isLeaf = (node: PlanNode): boolean => node.node === 'step' || node.node === 'hold';

/** What a step does to the cells; where it may be passed over, that is no longer known. */
export function act(step: StepNode, known: Known, isCertain = true): void {
  for (const effect of step.effects) {
    const now = known.get(effect.cell);
    const to = 'to' in effect ? effect.to : now === undefined ? undefined : effect.table[now];
    if (to === undefined || (!isCertain && to !== now)) known.delete(effect.cell);
    else known.set(effect.cell, to);
  }
}
