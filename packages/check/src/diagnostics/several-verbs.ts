import type { DiagnosticKind } from './diagnostic-kind.ts';

export const severalVerbs: DiagnosticKind = {
  code: 'several-verbs',
  severity: 'error',
  says: 'A step has more than one main verb.',
  marks: 'value',
};
