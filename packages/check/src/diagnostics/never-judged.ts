import { pointerTo } from '@ferrule/engine';
import { type FindingOfVariant, oncePerPlace } from '../once-per-place.ts';
import { usedProcedures } from '../used-procedures.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const neverJudged: DiagnosticKind = {
  code: 'never-judged',
  severity: 'error',
  says: 'A tolerance is written down, and no step judges by it.',
  marks: 'key',
  examine: (subject) => [...tolerancesNotJudged(subject), ...oncePerPlace(choicesNotProved(subject))],
};

/** Choices from stock after which nothing is judged: what is chosen is predicted, and a reading with it has to prove it. */
function* choicesNotProved({ plans }: Subject): Generator<FindingOfVariant> {
  for (const { nodes, selections, tolerances, variant } of plans) {
    const judging = nodes.flatMap((node) =>
      node.node === 'step' && node.check?.check === 'tolerance' ? [node.index] : [],
    );
    for (const node of nodes) {
      const check = node.node === 'step' ? node.check : undefined;
      const selection = check?.check === 'stock' ? selections[check.selection] : undefined;
      const aimed = tolerances[selection?.tolerance ?? -1];
      if (selection === undefined || aimed === undefined || judging.some((one) => one > node.index)) continue;
      yield {
        variant: variant.id,
        pointer: pointerTo(selection.pointer, 'for'),
        message: `What is chosen for ${aimed.name.split('@')[0]} is only predicted, and no step after it judges anything.`,
        remedy: 'Read again with what was fitted, and judge that, in a step after the work.',
        severity: 'warning',
      };
    }
  }
}

function* tolerancesNotJudged(subject: Subject): Generator<Finding> {
  for (const [name, procedure] of usedProcedures(subject)) {
    for (const id of Object.keys(procedure.tolerances ?? {})) {
      if (subject.report.isUsed(`procedures/${name}`, id)) continue;
      yield {
        pointer: pointerTo('/procedures', name, 'tolerances', id),
        message: `No step judges by ${id}.`,
        remedy: `Add judge: ${id} to the step that has the reading.`,
      };
    }
  }
}
