import type { DiagnosticKind } from './diagnostic-kind.ts';

export const tooManySteps: DiagnosticKind = {
  code: 'too-many-steps',
  severity: 'error',
  says: 'Written out, the procedure has more steps than are followed, or is nested too deep.',
  marks: 'value',
};
