import type { DiagnosticKind } from './diagnostic-kind.ts';

export const lawBroken: DiagnosticKind = {
  code: 'law-broken',
  severity: 'error',
  says: 'A way through the steps leads to one that a law, a requirement or a change forbids there.',
  marks: 'value',
};
