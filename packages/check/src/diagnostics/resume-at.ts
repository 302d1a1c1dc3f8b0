import type { DiagnosticKind } from './diagnostic-kind.ts';

export const resumeAt: DiagnosticKind = {
  code: 'resume-at',
  severity: 'error',
  says: 'A place where the work cannot go on.',
  marks: 'value',
};
