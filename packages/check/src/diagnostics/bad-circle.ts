import type { DiagnosticKind } from './diagnostic-kind.ts';

export const badCircle: DiagnosticKind = {
  code: 'bad-circle',
  severity: 'error',
  says: 'A whole turn is none, or is said of what is no angle.',
  marks: 'value',
};
