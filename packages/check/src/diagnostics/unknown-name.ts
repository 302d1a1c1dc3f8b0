import type { DiagnosticKind } from './diagnostic-kind.ts';

export const unknownName: DiagnosticKind = {
  code: 'unknown-name',
  severity: 'error',
  says: 'A name that is declared nowhere.',
  marks: 'value',
};
