import type { DiagnosticKind } from './diagnostic-kind.ts';

export const emptyFile: DiagnosticKind = {
  code: 'empty-file',
  severity: 'error',
  says: 'A file has nothing in it, or only comments.',
  marks: 'value',
};
