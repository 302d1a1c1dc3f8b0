import type { DiagnosticKind } from './diagnostic-kind.ts';

export const tooLarge: DiagnosticKind = {
  code: 'too-large',
  severity: 'error',
  says: 'A file, a pack or a bundle is larger than what is read.',
  marks: 'value',
};
