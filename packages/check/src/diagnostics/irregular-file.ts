import type { DiagnosticKind } from './diagnostic-kind.ts';

export const irregularFile: DiagnosticKind = {
  code: 'irregular-file',
  severity: 'error',
  says: 'Neither a file nor a folder, such as a pipe.',
  marks: 'value',
};
