import type { DiagnosticKind } from './diagnostic-kind.ts';

export const fileName: DiagnosticKind = {
  code: 'file-name',
  severity: 'error',
  says: 'A name that does not mean the same on every machine.',
  marks: 'value',
};
