import type { DiagnosticKind } from './diagnostic-kind.ts';

export const unexpectedKey: DiagnosticKind = {
  code: 'unexpected-key',
  severity: 'error',
  says: 'A key beside the list `trials:` in a file under `trials/`, where only that list may stand.',
  marks: 'value',
};
