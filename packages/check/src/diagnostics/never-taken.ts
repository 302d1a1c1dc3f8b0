import { type Decision, type Plan, pointerTo, valueAt } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const neverTaken: DiagnosticKind = {
  code: 'never-taken',
  severity: 'error',
  says: 'A reading or an observation is used that no step has made before.',
  marks: 'value',
  examine: takenLater,
};

/** Conditions over readings of which one is taken later only: when the job comes there first, it waits for ever. */
function* takenLater({ pack, plans }: Subject): Generator<Finding> {
  for (const plan of plans) {
    for (const node of plan.nodes) {
      for (const [decision, keys] of decisionsOf(node)) {
        const later = takenAfter(plan, decision, node.index);
        if (later === undefined) continue;
        const at = pointerTo(node.pointer, ...keys);
        yield {
          pointer: valueAt(pack, pointerTo(at, 'logic')) === undefined ? at : pointerTo(at, 'logic'),
          message: `${later.name.split('@')[0]} is asked for here, and taken after this only.`,
          remedy: 'Put the step that takes it before this one.',
          other: [{ pointer: later.pointer, message: 'the reading' }],
        };
      }
    }
  }
}

function decisionsOf(
  node: Plan['nodes'][number],
): readonly (readonly [Decision, readonly (string | number)[]])[] {
  const own = node.onlyIf === undefined ? [] : ([[node.onlyIf, ['only-if']]] as const);
  const cases =
    node.node === 'choose'
      ? node.cases.map(({ when }, number) => [when, ['cases', number, 'when']] as const)
      : [];
  return [...own, ...cases];
}

function takenAfter(plan: Plan, decision: Decision, index: number): Plan['entries'][number] | undefined {
  if (decision.by !== 'condition') return undefined;
  const entries = plan.conditions[decision.condition]?.entries ?? [];
  return entries
    .flatMap((entry) => plan.entries[entry] ?? [])
    .find((entry) => entry.takers.length > 0 && entry.takers.every((taker) => taker >= index));
}
