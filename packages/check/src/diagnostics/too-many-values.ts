import type { DiagnosticKind } from './diagnostic-kind.ts';

export const tooManyValues: DiagnosticKind = {
  code: 'too-many-values',
  severity: 'error',
  says: 'The pack has more values or more text than what is read.',
  marks: 'value',
};
