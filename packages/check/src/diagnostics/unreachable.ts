import type { DiagnosticKind } from './diagnostic-kind.ts';

export const unreachable: DiagnosticKind = {
  code: 'unreachable',
  severity: 'warning',
  says: 'No way reaches a step, in any variant.',
  marks: 'value',
};
