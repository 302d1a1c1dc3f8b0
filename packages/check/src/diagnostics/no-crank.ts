import type { DiagnosticKind } from './diagnostic-kind.ts';

export const noCrank: DiagnosticKind = {
  code: 'no-crank',
  severity: 'error',
  says: 'Work needs bores or followers, and the variant does not say enough about its crank.',
  marks: 'value',
};
