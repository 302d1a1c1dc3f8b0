import type { DiagnosticKind } from './diagnostic-kind.ts';

export const severalDocuments: DiagnosticKind = {
  code: 'several-documents',
  severity: 'error',
  says: 'A file holds a second document.',
  marks: 'value',
};
