import type { DiagnosticKind } from './diagnostic-kind.ts';

export const unusedName: DiagnosticKind = {
  code: 'unused-name',
  severity: 'warning',
  says: 'Something declared that nothing uses.',
  marks: 'key',
};
