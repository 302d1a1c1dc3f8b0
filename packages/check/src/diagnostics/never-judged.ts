import type { DiagnosticKind } from './diagnostic-kind.ts';

export const neverJudged: DiagnosticKind = {
  code: 'never-judged',
  severity: 'error',
  says: 'A tolerance that no step judges by.',
  marks: 'key',
};
