import type { DiagnosticKind } from './diagnostic-kind.ts';

export const symbolicLink: DiagnosticKind = {
  code: 'symbolic-link',
  severity: 'error',
  says: 'A link stands where a file is expected.',
  marks: 'value',
};
