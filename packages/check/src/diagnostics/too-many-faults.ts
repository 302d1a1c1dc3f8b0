import type { DiagnosticKind } from './diagnostic-kind.ts';

export const tooManyFaults: DiagnosticKind = {
  code: 'too-many-faults',
  severity: 'error',
  says: 'One file has more than 200 faults, or a pack more than 200 errors or warnings of its form and its names.',
  marks: 'value',
};
