import type { DiagnosticKind } from './diagnostic-kind.ts';

export const badShape: DiagnosticKind = {
  code: 'bad-shape',
  severity: 'error',
  says: 'The shape of a serial number cannot be read.',
  marks: 'value',
};
