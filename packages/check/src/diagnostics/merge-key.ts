import type { DiagnosticKind } from './diagnostic-kind.ts';

export const mergeKey: DiagnosticKind = {
  code: 'merge-key',
  severity: 'error',
  says: 'The key `<<`.',
  marks: 'value',
};
