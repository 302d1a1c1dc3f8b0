import type { DiagnosticKind } from './diagnostic-kind.ts';

export const notSurelyDone: DiagnosticKind = {
  code: 'not-surely-done',
  severity: 'error',
  says: 'Time is counted from a step that is not surely done before it is judged.',
  marks: 'value',
};
