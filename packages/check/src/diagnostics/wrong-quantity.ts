import type { DiagnosticKind } from './diagnostic-kind.ts';

export const wrongQuantity: DiagnosticKind = {
  code: 'wrong-quantity',
  severity: 'error',
  says: 'A value, a unit or an instrument is of another kind of quantity than is needed.',
  marks: 'value',
};
