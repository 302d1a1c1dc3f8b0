import type { DiagnosticKind } from './diagnostic-kind.ts';

export const recursiveProcedure: DiagnosticKind = {
  code: 'recursive-procedure',
  severity: 'error',
  says: 'A procedure performs itself, directly or through others.',
  marks: 'value',
};
