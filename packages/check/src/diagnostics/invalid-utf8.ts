import type { DiagnosticKind } from './diagnostic-kind.ts';

export const invalidUtf8: DiagnosticKind = {
  code: 'invalid-utf8',
  severity: 'error',
  says: 'Bytes that are no UTF-8.',
  marks: 'value',
};
