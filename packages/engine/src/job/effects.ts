import { ENTRY, type StepNode } from '../model/plan.ts';
import { failing } from './control.ts';

/** What the cells become by the act of a step. */
export function applyEffects(node: StepNode, bytes: Uint8Array): void {
  for (const effect of node.effects) {
    bytes[effect.cell] = 'to' in effect ? effect.to : (effect.table[bytes[effect.cell] ?? 0] ?? 0);
  }
  for (const { cell, noted } of node.disturbs) {
    if (bytes[cell] !== ENTRY.held) continue;
    bytes[cell] = ENTRY.stale;
    bytes[noted] = 1;
  }
}

/** The guards that speak against the act of a step in these states, among them laws that it would break. */
export function actFaults(node: StepNode, bytes: Uint8Array): StepNode['guards'] {
  const before = failing(node.guards, bytes);
  if (before.length > 0 || node.invariants.length === 0) return before;
  const after = bytes.slice();
  applyEffects(node, after);
  return failing(node.invariants, after);
}
