import type { DiagnosticKind } from './diagnostic-kind.ts';

export const emptyValue: DiagnosticKind = {
  code: 'empty-value',
  severity: 'error',
  says: 'A key or a dash has nothing after it.',
  marks: 'value',
};
