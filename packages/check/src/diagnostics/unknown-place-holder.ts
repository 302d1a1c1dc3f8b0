import type { DiagnosticKind } from './diagnostic-kind.ts';

export const unknownPlaceHolder: DiagnosticKind = {
  code: 'unknown-place-holder',
  severity: 'error',
  says: 'Braces in a text name nothing that is known there.',
  marks: 'value',
};
