import type { DiagnosticKind } from './diagnostic-kind.ts';

export const irregularFile: DiagnosticKind = {
  code: 'irregular-file',
  severity: 'error',
  says: 'Something that is neither a file nor a folder stands in the pack.',
  marks: 'value',
};
