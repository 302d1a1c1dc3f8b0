import type { DiagnosticKind } from './diagnostic-kind.ts';

export const wrongValue: DiagnosticKind = {
  code: 'wrong-value',
  severity: 'error',
  says: 'A word that is none of those allowed, a name not written as names are, or a state that never has this value.',
  marks: 'value',
};
