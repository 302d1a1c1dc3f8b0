import type { DiagnosticKind } from './diagnostic-kind.ts';

export const notAMapping: DiagnosticKind = {
  code: 'not-a-mapping',
  severity: 'error',
  says: 'A file is a list or a text, and not keys with values.',
  marks: 'value',
};
