import type { DiagnosticKind } from './diagnostic-kind.ts';

export const severalChecks: DiagnosticKind = {
  code: 'several-checks',
  severity: 'error',
  says: 'A step judges more than one thing.',
  marks: 'value',
};
