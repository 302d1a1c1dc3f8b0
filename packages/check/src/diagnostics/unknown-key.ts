import type { DiagnosticKind } from './diagnostic-kind.ts';

export const unknownKey: DiagnosticKind = {
  code: 'unknown-key',
  severity: 'error',
  says: 'A key that the form does not have.',
  marks: 'key',
};
