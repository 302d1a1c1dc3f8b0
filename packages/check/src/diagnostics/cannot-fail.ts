import type { DiagnosticKind } from './diagnostic-kind.ts';

export const cannotFail: DiagnosticKind = {
  code: 'cannot-fail',
  severity: 'warning',
  says: 'A warning.',
  marks: 'value',
};
