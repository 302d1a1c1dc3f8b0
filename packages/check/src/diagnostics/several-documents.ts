import type { DiagnosticKind } from './diagnostic-kind.ts';

export const severalDocuments: DiagnosticKind = {
  code: 'several-documents',
  severity: 'error',
  says: 'A second document in one file.',
  marks: 'value',
};
