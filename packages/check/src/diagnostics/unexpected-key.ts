import type { DiagnosticKind } from './diagnostic-kind.ts';

export const unexpectedKey: DiagnosticKind = {
  code: 'unexpected-key',
  severity: 'error',
  says: 'A key stands beside the list `trials:`, where only that list may stand.',
  marks: 'value',
};
