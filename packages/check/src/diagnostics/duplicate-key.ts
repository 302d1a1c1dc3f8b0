import type { DiagnosticKind } from './diagnostic-kind.ts';

export const duplicateKey: DiagnosticKind = {
  code: 'duplicate-key',
  severity: 'error',
  says: 'A key stands twice in one map, or one thing is declared in two files.',
  marks: 'value',
};
