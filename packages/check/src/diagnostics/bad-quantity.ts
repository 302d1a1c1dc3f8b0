import type { DiagnosticKind } from './diagnostic-kind.ts';

export const badQuantity: DiagnosticKind = {
  code: 'bad-quantity',
  severity: 'error',
  says: 'No number with a unit can be read.',
  marks: 'value',
};
