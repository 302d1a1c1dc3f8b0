import type { DiagnosticKind } from './diagnostic-kind.ts';

export const unfinishedProof: DiagnosticKind = {
  code: 'unfinished-proof',
  severity: 'error',
  says: 'The exploration met its bound, 100,000 states or about 200 MB, before it had seen everything.',
  marks: 'value',
};
