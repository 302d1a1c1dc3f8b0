import type { DiagnosticKind } from './diagnostic-kind.ts';

export const tooManySteps: DiagnosticKind = {
  code: 'too-many-steps',
  severity: 'error',
  says: 'Written out, the procedure has more than 50,000 steps, loops in loops in loops; or blocks and performed procedures stand more than 100 deep in one another.',
  marks: 'value',
};
