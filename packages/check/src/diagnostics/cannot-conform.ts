import type { DiagnosticKind } from './diagnostic-kind.ts';

export const cannotConform: DiagnosticKind = {
  code: 'cannot-conform',
  severity: 'error',
  says: 'Every plausible value of the reading lies outside these limits.',
  marks: 'value',
};
