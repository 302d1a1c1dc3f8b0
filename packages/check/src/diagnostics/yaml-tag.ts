import type { DiagnosticKind } from './diagnostic-kind.ts';

export const yamlTag: DiagnosticKind = {
  code: 'yaml-tag',
  severity: 'error',
  says: 'A value has a tag.',
  marks: 'value',
};
