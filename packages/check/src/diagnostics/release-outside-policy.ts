import type { DiagnosticKind } from './diagnostic-kind.ts';

export const releaseOutsidePolicy: DiagnosticKind = {
  code: 'release-outside-policy',
  severity: 'error',
  says: 'A release is not one that the policy allows.',
  marks: 'value',
};
