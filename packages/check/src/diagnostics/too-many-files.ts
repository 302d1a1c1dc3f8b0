import type { DiagnosticKind } from './diagnostic-kind.ts';

export const tooManyFiles: DiagnosticKind = {
  code: 'too-many-files',
  severity: 'error',
  says: 'There are more files than a pack may have.',
  marks: 'value',
};
