import type { DiagnosticKind } from './diagnostic-kind.ts';

export const neverTaken: DiagnosticKind = {
  code: 'never-taken',
  severity: 'error',
  says: 'An expression or a tolerance uses a reading that no step takes, or an observation that has not been made before that point.',
  marks: 'value',
};
