import type { DiagnosticKind } from './diagnostic-kind.ts';

export const wrongValue: DiagnosticKind = {
  code: 'wrong-value',
  severity: 'error',
  says: 'A text is none of those that are allowed here.',
  marks: 'value',
};
