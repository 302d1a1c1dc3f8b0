import type { DiagnosticKind } from './diagnostic-kind.ts';

export const reliedUnjudged: DiagnosticKind = {
  code: 'relied-unjudged',
  severity: 'error',
  says: 'A reading that has limits can be relied on, or the job can end, before it was held against them.',
  marks: 'value',
};
