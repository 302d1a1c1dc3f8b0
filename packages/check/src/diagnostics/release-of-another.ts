import type { DiagnosticKind } from './diagnostic-kind.ts';

export const releaseOfAnother: DiagnosticKind = {
  code: 'release-of-another',
  severity: 'error',
  says: 'A release is that of another pack, or of another revision.',
  marks: 'value',
};
