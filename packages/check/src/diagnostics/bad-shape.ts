import type { DiagnosticKind } from './diagnostic-kind.ts';

export const badShape: DiagnosticKind = {
  code: 'bad-shape',
  severity: 'error',
  says: 'A shape in which a quote is not closed, or a part that has no serial number to identify.',
  marks: 'value',
};
