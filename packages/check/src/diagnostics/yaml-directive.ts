import type { DiagnosticKind } from './diagnostic-kind.ts';

export const yamlDirective: DiagnosticKind = {
  code: 'yaml-directive',
  severity: 'error',
  says: 'A line that starts with `%`, other than `%YAML 1.2`.',
  marks: 'value',
};
