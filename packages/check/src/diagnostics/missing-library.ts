import type { DiagnosticKind } from './diagnostic-kind.ts';

export const missingLibrary: DiagnosticKind = {
  code: 'missing-library',
  severity: 'error',
  says: 'A library that the pack uses is not beside it.',
  marks: 'value',
};
