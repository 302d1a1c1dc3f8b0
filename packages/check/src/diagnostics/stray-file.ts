import type { DiagnosticKind } from './diagnostic-kind.ts';

export const strayFile: DiagnosticKind = {
  code: 'stray-file',
  severity: 'error',
  says: 'A YAML file belongs to no part of the pack.',
  marks: 'value',
};
