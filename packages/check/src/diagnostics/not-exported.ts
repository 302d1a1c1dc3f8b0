import type { DiagnosticKind } from './diagnostic-kind.ts';

export const notExported: DiagnosticKind = {
  code: 'not-exported',
  severity: 'error',
  says: 'A value of a performed procedure is used that the procedure does not give out.',
  marks: 'value',
};
