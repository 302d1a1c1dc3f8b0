import type { DiagnosticKind } from './diagnostic-kind.ts';

export const badRepeats: DiagnosticKind = {
  code: 'bad-repeats',
  severity: 'error',
  says: 'A reading cannot be repeated as it is said.',
  marks: 'value',
};
