import type { DiagnosticKind } from './diagnostic-kind.ts';

export const neverParked: DiagnosticKind = {
  code: 'never-parked',
  severity: 'warning',
  says: 'The states in which a job may be left never come about.',
  marks: 'key',
};
