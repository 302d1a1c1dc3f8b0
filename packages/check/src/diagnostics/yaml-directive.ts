import type { DiagnosticKind } from './diagnostic-kind.ts';

export const yamlDirective: DiagnosticKind = {
  code: 'yaml-directive',
  severity: 'error',
  says: 'A line starts with `%`.',
  marks: 'value',
};
