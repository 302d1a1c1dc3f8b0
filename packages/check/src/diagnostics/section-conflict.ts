import type { DiagnosticKind } from './diagnostic-kind.ts';

export const sectionConflict: DiagnosticKind = {
  code: 'section-conflict',
  severity: 'error',
  says: 'One section is a map in one file and a list or a text in another, or a text stands twice.',
  marks: 'value',
};
