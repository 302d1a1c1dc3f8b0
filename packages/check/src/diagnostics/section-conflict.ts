import type { DiagnosticKind } from './diagnostic-kind.ts';

export const sectionConflict: DiagnosticKind = {
  code: 'section-conflict',
  severity: 'error',
  says: 'One section is written in two files in ways that cannot be joined.',
  marks: 'value',
};
