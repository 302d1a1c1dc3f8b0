import type { DiagnosticKind } from './diagnostic-kind.ts';

export const deadEnd: DiagnosticKind = {
  code: 'dead-end',
  severity: 'error',
  says: 'A way leads to a place from which nothing carries the job on.',
  marks: 'value',
};
