import { caseFaults } from '../case-faults.ts';
import type { DiagnosticKind } from './diagnostic-kind.ts';

export const overlappingCases: DiagnosticKind = {
  code: 'overlapping-cases',
  severity: 'error',
  says: 'Two cases are true at once, where exactly one is to be taken.',
  marks: 'value',
  examine: (subject) => caseFaults(subject).overlapping,
};
