import type { DiagnosticKind } from './diagnostic-kind.ts';

export const dualDisagrees: DiagnosticKind = {
  code: 'dual-disagrees',
  severity: 'error',
  says: 'Two statements of one value are not the same value.',
  marks: 'value',
};
