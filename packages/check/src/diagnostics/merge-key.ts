import type { DiagnosticKind } from './diagnostic-kind.ts';

export const mergeKey: DiagnosticKind = {
  code: 'merge-key',
  severity: 'error',
  says: 'A key is `<<`, and what it brings in cannot be seen.',
  marks: 'value',
};
