import type { DiagnosticKind } from './diagnostic-kind.ts';

export const wrongEnd: DiagnosticKind = {
  code: 'wrong-end',
  severity: 'error',
  says: 'A way ends in another state than the pack says it must.',
  marks: 'value',
};
