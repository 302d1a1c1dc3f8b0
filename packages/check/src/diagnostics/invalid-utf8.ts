import type { DiagnosticKind } from './diagnostic-kind.ts';

export const invalidUtf8: DiagnosticKind = {
  code: 'invalid-utf8',
  severity: 'error',
  says: 'The bytes of a file are not UTF-8.',
  marks: 'value',
};
