import type { Checks } from './checks.ts';
import type { ElapsedTimes } from './elapsed.ts';
import type { Entries } from './entries.ts';
import { cellsIn } from './laws.ts';
import type { PlanNode } from './plan.ts';
import type { Selections } from './selections.ts';

/** Notes at each entry what relies on it, once all nodes and checks are made: that is what a strike opens again. */
export function crossReference(
  nodes: readonly PlanNode[],
  entries: Entries,
  checks: Checks,
  selections: Selections,
  elapsed: ElapsedTimes,
): void {
  // What a choice or a passed-over node relies on is decided again when it is struck.
  const entryOf = new Map(entries.list.map((entry, index) => [entry.cell, index]));
  for (const node of nodes) {
    const decisions = [node.onlyIf, ...(node.node === 'choose' ? node.cases.map((one) => one.when) : [])];
    const reliedOn = decisions.flatMap((one) =>
      one?.by === 'test'
        ? cellsIn(one.test).flatMap((cell) => entryOf.get(cell) ?? [])
        : one?.by === 'condition'
          ? (checks.conditions[one.condition]?.entries ?? [])
          : [],
    );
    if (reliedOn.length > 0)
      for (const index of new Set(reliedOn)) entries.at(index)?.decides.push(node.index);
    if (node.node !== 'step') continue;
    if (node.act?.act === 'tighten' && node.act.running !== undefined)
      entries.at(node.act.running)?.usedBy.push(node.index);
    const judged =
      node.check?.check === 'tolerance'
        ? checks.tolerances[node.check.tolerance]
        : node.check?.check === 'stock'
          ? selections.list[node.check.selection]
          : undefined;
    for (const index of judged?.entries ?? []) entries.at(index)?.judgedBy.push(node.index);
    const times = judged !== undefined && 'elapsed' in judged ? (judged.elapsed ?? []) : [];
    for (const time of times.flatMap((index) => elapsed.list[index] ?? [])) {
      time.judgedBy.push(node.index);
      // A step without an act is done when its last entry is taken.
      for (const at of [time.since, time.until ?? -1]) {
        const step = nodes[at];
        if (step?.node !== 'step' || step.act !== undefined) continue;
        for (const index of step.entries) {
          const judgedBy = entries.at(index)?.judgedBy;
          if (judgedBy?.includes(node.index) === false) judgedBy.push(node.index);
        }
      }
    }
  }
  // What is fitted is compared with what was found at that place.
  for (const found of entries.list) {
    if (found.entry !== 'identity' || found.as !== 'found') continue;
    for (const fitted of entries.list) {
      if (fitted.entry === 'identity' && fitted.as === 'fitted' && fitted.partCell === found.partCell)
        found.judgedBy.push(...fitted.takers);
    }
  }
  for (const condition of checks.conditions)
    if (condition !== undefined)
      for (const index of condition.entries) entries.at(index)?.truths.push(condition.cell);
}
