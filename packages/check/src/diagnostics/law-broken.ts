import type { DiagnosticKind } from './diagnostic-kind.ts';

export const lawBroken: DiagnosticKind = {
  code: 'law-broken',
  severity: 'error',
  says: 'A way through the steps leads to one that is forbidden there.',
  marks: 'value',
};
