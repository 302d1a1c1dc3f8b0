import type { DiagnosticKind } from './diagnostic-kind.ts';

export const tooManyValues: DiagnosticKind = {
  code: 'too-many-values',
  severity: 'error',
  says: 'A pack of more than 200,000 values, or more lines and signs than that allows.',
  marks: 'value',
};
