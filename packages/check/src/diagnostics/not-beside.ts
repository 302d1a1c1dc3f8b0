import type { DiagnosticKind } from './diagnostic-kind.ts';

export const notBeside: DiagnosticKind = {
  code: 'not-beside',
  severity: 'warning',
  says: 'What is named of another pack is not in the pack that stands beside this one.',
  marks: 'value',
};
