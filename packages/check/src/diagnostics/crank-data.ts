import type { DiagnosticKind } from './diagnostic-kind.ts';

export const crankData: DiagnosticKind = {
  code: 'crank-data',
  severity: 'error',
  says: 'Crank data that contradict themselves or go beyond what is followed.',
  marks: 'value',
};
