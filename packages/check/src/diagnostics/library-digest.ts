import type { DiagnosticKind } from './diagnostic-kind.ts';

export const libraryDigest: DiagnosticKind = {
  code: 'library-digest',
  severity: 'error',
  says: 'A library is not the one that the pack was written with.',
  marks: 'value',
};
