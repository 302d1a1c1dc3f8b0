import type { DiagnosticKind } from './diagnostic-kind.ts';

export const badKey: DiagnosticKind = {
  code: 'bad-key',
  severity: 'error',
  says: 'A key is not a text on one line.',
  marks: 'value',
};
