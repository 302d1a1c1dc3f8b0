import type { DiagnosticKind } from './diagnostic-kind.ts';

export const forbiddenKey: DiagnosticKind = {
  code: 'forbidden-key',
  severity: 'error',
  says: 'A key means something to JavaScript itself.',
  marks: 'value',
};
