import type { DiagnosticKind } from './diagnostic-kind.ts';

export const releasedFileChanged: DiagnosticKind = {
  code: 'released-file-changed',
  severity: 'error',
  says: 'A file is not as it was when the folder was released.',
  marks: 'value',
};
