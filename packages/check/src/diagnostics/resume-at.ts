import type { DiagnosticKind } from './diagnostic-kind.ts';

export const resumeAt: DiagnosticKind = {
  code: 'resume-at',
  severity: 'error',
  says: 'Work is to go on at a place where it cannot.',
  marks: 'value',
};
