import type { DiagnosticKind } from './diagnostic-kind.ts';

export const tooDeep: DiagnosticKind = {
  code: 'too-deep',
  severity: 'error',
  says: 'Lists, maps or folders are nested too deep.',
  marks: 'value',
};
