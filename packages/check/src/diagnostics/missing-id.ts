import type { DiagnosticKind } from './diagnostic-kind.ts';

export const missingId: DiagnosticKind = {
  code: 'missing-id',
  severity: 'error',
  says: 'A file under `procedures/` or `trials/` does not name what it holds.',
  marks: 'value',
};
