import type { DiagnosticKind } from './diagnostic-kind.ts';

export const recursiveProcedure: DiagnosticKind = {
  code: 'recursive-procedure',
  severity: 'error',
  says: 'A procedure that performs itself, directly or through others.',
  marks: 'value',
};
