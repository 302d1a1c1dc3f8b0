import type { DiagnosticKind } from './diagnostic-kind.ts';

export const reversedPair: DiagnosticKind = {
  code: 'reversed-pair',
  severity: 'error',
  says: 'The lower value stands after the higher one, or a deviation has a sign.',
  marks: 'value',
};
