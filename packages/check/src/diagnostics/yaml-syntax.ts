import type { DiagnosticKind } from './diagnostic-kind.ts';

export const yamlSyntax: DiagnosticKind = {
  code: 'yaml-syntax',
  severity: 'error',
  says: 'A file is not YAML.',
  marks: 'value',
};
