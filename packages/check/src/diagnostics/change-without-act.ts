import type { DiagnosticKind } from './diagnostic-kind.ts';

export const changeWithoutAct: DiagnosticKind = {
  code: 'change-without-act',
  severity: 'error',
  says: 'A state changes, or an operation is named, in a step that does not say what is done.',
  marks: 'value',
};
