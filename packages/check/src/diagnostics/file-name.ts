import type { DiagnosticKind } from './diagnostic-kind.ts';

export const fileName: DiagnosticKind = {
  code: 'file-name',
  severity: 'error',
  says: 'A file name does not mean the same on every machine.',
  marks: 'value',
};
