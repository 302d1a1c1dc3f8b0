import type { DiagnosticKind } from './diagnostic-kind.ts';

export const failedTrial: DiagnosticKind = {
  code: 'failed-trial',
  severity: 'error',
  says: 'A trial comes to something else than it expects.',
  marks: 'key',
};
