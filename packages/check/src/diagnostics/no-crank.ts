import type { DiagnosticKind } from './diagnostic-kind.ts';

export const noCrank: DiagnosticKind = {
  code: 'no-crank',
  severity: 'error',
  says: 'Work that needs bores or followers, on a variant that does not say how many cylinders it has or where its followers are off the base circle.',
  marks: 'value',
};
