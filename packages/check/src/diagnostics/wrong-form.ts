import type { DiagnosticKind } from './diagnostic-kind.ts';

export const wrongForm: DiagnosticKind = {
  code: 'wrong-form',
  severity: 'error',
  says: 'A list, a map or a text stands where another of them is expected.',
  marks: 'value',
};
