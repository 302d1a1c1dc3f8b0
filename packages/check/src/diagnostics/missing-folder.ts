import type { DiagnosticKind } from './diagnostic-kind.ts';

export const missingFolder: DiagnosticKind = {
  code: 'missing-folder',
  severity: 'error',
  says: 'The folder is not there or cannot be read.',
  marks: 'value',
};
