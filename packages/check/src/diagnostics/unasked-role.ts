import type { DiagnosticKind } from './diagnostic-kind.ts';

export const unaskedRole: DiagnosticKind = {
  code: 'unasked-role',
  severity: 'error',
  says: 'A warning.',
  marks: 'value',
};
