import type { DiagnosticKind } from './diagnostic-kind.ts';

export const safetyConcession: DiagnosticKind = {
  code: 'safety-concession',
  severity: 'error',
  says: 'A hold that protects people, and somebody could wave it through.',
  marks: 'value',
};
