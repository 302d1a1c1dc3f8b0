import type { DiagnosticKind } from './diagnostic-kind.ts';

export const noRemedy: DiagnosticKind = {
  code: 'no-remedy',
  severity: 'error',
  says: 'Something is judged, and it is not said what follows when it does not conform.',
  marks: 'value',
};
