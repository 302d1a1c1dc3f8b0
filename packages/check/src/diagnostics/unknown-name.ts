import { unknownInProcedures } from '../procedure-names.ts';
import { unknownInTrials } from '../trial-names.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const unknownName: DiagnosticKind = {
  code: 'unknown-name',
  severity: 'error',
  says: 'A name is used that is declared nowhere.',
  marks: 'value',
  when: 'written',
  examine: unknownNames,
};

/** What the steps name is looked up as they are written out; the rest is looked up here. */
function* unknownNames(subject: Subject): Generator<Finding> {
  yield* unknownInProcedures(subject);
  yield* unknownInTrials(subject);
}
