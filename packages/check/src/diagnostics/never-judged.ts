import { pointerTo } from '@ferrule/engine';
import { usedProcedures } from '../used-procedures.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const neverJudged: DiagnosticKind = {
  code: 'never-judged',
  severity: 'error',
  says: 'A tolerance is written down, and no step judges by it.',
  marks: 'key',
  examine: tolerancesNotJudged,
};

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
