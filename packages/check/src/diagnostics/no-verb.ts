import type { DiagnosticKind } from './diagnostic-kind.ts';

export const noVerb: DiagnosticKind = {
  code: 'no-verb',
  severity: 'error',
  says: 'A step does nothing, reads nothing and judges nothing.',
  marks: 'value',
};
