import type { DiagnosticKind } from './diagnostic-kind.ts';

export const unknownPlaceHolder: DiagnosticKind = {
  code: 'unknown-place-holder',
  severity: 'error',
  says: 'Braces in a text that name nothing here.',
  marks: 'value',
};
