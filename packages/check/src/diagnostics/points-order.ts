import type { DiagnosticKind } from './diagnostic-kind.ts';

export const pointsOrder: DiagnosticKind = {
  code: 'points-order',
  severity: 'error',
  says: 'The points of a table do not ascend, or one stands there twice.',
  marks: 'value',
};
