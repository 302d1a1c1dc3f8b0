import type { DiagnosticKind } from './diagnostic-kind.ts';

export const missingKey: DiagnosticKind = {
  code: 'missing-key',
  severity: 'error',
  says: 'A key that is needed is not there.',
  marks: 'value',
};
