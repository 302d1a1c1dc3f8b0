import type { DiagnosticKind } from './diagnostic-kind.ts';

export const tooDeep: DiagnosticKind = {
  code: 'too-deep',
  severity: 'error',
  says: 'Lists and maps are nested in more than 64 levels, or folders in more than 8.',
  marks: 'value',
};
