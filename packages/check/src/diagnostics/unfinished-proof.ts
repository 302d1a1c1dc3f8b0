import type { DiagnosticKind } from './diagnostic-kind.ts';

export const unfinishedProof: DiagnosticKind = {
  code: 'unfinished-proof',
  severity: 'error',
  says: 'The proof met its bound before it had seen everything.',
  marks: 'value',
};
