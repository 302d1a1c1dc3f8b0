import type { DiagnosticKind } from './diagnostic-kind.ts';

export const releasedFileMissing: DiagnosticKind = {
  code: 'released-file-missing',
  severity: 'error',
  says: 'A file that was released is not there.',
  marks: 'value',
};
