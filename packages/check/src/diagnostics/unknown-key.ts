import type { DiagnosticKind } from './diagnostic-kind.ts';

export const unknownKey: DiagnosticKind = {
  code: 'unknown-key',
  severity: 'error',
  says: 'A key stands where the form does not have it.',
  marks: 'key',
};
