import type { DiagnosticKind } from './diagnostic-kind.ts';

export const notAMapping: DiagnosticKind = {
  code: 'not-a-mapping',
  severity: 'error',
  says: 'A file is keys with values, not a list and not a text.',
  marks: 'value',
};
