import type { DiagnosticKind } from './diagnostic-kind.ts';

export const movesAway: DiagnosticKind = {
  code: 'moves-away',
  severity: 'error',
  says: 'A choice from stock would move its value away from the limits: the sign of the sensitivity and the word beside it say the opposite.',
  marks: 'value',
};
