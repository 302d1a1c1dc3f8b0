import type { DiagnosticKind } from './diagnostic-kind.ts';

export const beyondInstrument: DiagnosticKind = {
  code: 'beyond-instrument',
  severity: 'warning',
  says: 'A torque beyond the range of the wrench that the step names; as a warning, plausible values of a reading that its instrument cannot show.',
  marks: 'value',
};
