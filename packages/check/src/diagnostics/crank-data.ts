import type { DiagnosticKind } from './diagnostic-kind.ts';

export const crankData: DiagnosticKind = {
  code: 'crank-data',
  severity: 'error',
  says: 'The data of the crank contradict themselves or go beyond what is followed.',
  marks: 'value',
};
