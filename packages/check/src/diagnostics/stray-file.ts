import type { DiagnosticKind } from './diagnostic-kind.ts';

export const strayFile: DiagnosticKind = {
  code: 'stray-file',
  severity: 'error',
  says: 'A YAML file that belongs to no part of a pack.',
  marks: 'value',
};
