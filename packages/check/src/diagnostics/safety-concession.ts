import type { DiagnosticKind } from './diagnostic-kind.ts';

export const safetyConcession: DiagnosticKind = {
  code: 'safety-concession',
  severity: 'error',
  says: 'A hold protects people, and somebody could release it by a concession.',
  marks: 'value',
};
