import type { DiagnosticKind } from './diagnostic-kind.ts';

export const noRotationPlan: DiagnosticKind = {
  code: 'no-rotation-plan',
  severity: 'error',
  says: 'No plan of turning fits the stops of the variant.',
  marks: 'value',
};
