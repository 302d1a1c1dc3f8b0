import type { DiagnosticKind } from './diagnostic-kind.ts';

export const badKey: DiagnosticKind = {
  code: 'bad-key',
  severity: 'error',
  says: 'A key that is no text on one line.',
  marks: 'value',
};
