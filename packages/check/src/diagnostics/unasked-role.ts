import type { DiagnosticKind } from './diagnostic-kind.ts';

export const unaskedRole: DiagnosticKind = {
  code: 'unasked-role',
  severity: 'warning',
  says: 'A step needs a person in a role that the preliminary requirements do not ask for.',
  marks: 'value',
};
