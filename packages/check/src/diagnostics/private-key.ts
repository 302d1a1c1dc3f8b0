import type { DiagnosticKind } from './diagnostic-kind.ts';

export const privateKey: DiagnosticKind = {
  code: 'private-key',
  severity: 'error',
  says: 'A private key lies in a folder that is handed on to others.',
  marks: 'value',
};
