import type { DiagnosticKind } from './diagnostic-kind.ts';

export const tooManyFiles: DiagnosticKind = {
  code: 'too-many-files',
  severity: 'error',
  says: 'More files, or more names in all folders, than a pack may have.',
  marks: 'value',
};
