import type { DiagnosticKind } from './diagnostic-kind.ts';

export const unreachable: DiagnosticKind = {
  code: 'unreachable',
  severity: 'warning',
  says: 'A step that no way reaches in any variant.',
  marks: 'value',
};
