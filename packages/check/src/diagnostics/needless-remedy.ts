import type { DiagnosticKind } from './diagnostic-kind.ts';

export const needlessRemedy: DiagnosticKind = {
  code: 'needless-remedy',
  severity: 'error',
  says: 'A step says what follows a bad judgement, and judges nothing.',
  marks: 'key',
};
