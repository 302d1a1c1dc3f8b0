import type { DiagnosticKind } from './diagnostic-kind.ts';

export const releasedFileAdded: DiagnosticKind = {
  code: 'released-file-added',
  severity: 'error',
  says: 'A file was not there when the folder was released.',
  marks: 'value',
};
