import type { DiagnosticKind } from './diagnostic-kind.ts';

export const tooManyFaults: DiagnosticKind = {
  code: 'too-many-faults',
  severity: 'error',
  says: 'There are more faults than are listed.',
  marks: 'value',
};
