import type { DiagnosticKind } from './diagnostic-kind.ts';

export const noRotationPlan: DiagnosticKind = {
  code: 'no-rotation-plan',
  severity: 'error',
  says: 'No plan fits the stated stops.',
  marks: 'value',
};
