import { caseFaults } from '../case-faults.ts';
import type { DiagnosticKind } from './diagnostic-kind.ts';

export const missingCase: DiagnosticKind = {
  code: 'missing-case',
  severity: 'error',
  says: 'A variant, an answer or a value is in none of the cases.',
  marks: 'key',
  examine: (subject) => caseFaults(subject).missing,
};
