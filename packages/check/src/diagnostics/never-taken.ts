import type { DiagnosticKind } from './diagnostic-kind.ts';

export const neverTaken: DiagnosticKind = {
  code: 'never-taken',
  severity: 'error',
  says: 'A reading or an observation is used that no step has made before.',
  marks: 'value',
};
