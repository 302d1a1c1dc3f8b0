import type { DiagnosticKind } from './diagnostic-kind.ts';

export const needlessRemedy: DiagnosticKind = {
  code: 'needless-remedy',
  severity: 'error',
  says: 'A remedy at a step that judges nothing.',
  marks: 'key',
};
