import type { DiagnosticKind } from './diagnostic-kind.ts';

export const tooLarge: DiagnosticKind = {
  code: 'too-large',
  severity: 'error',
  says: 'A file of more than 4 MiB, a pack of more than 32 MiB, or a bundle beyond that.',
  marks: 'value',
};
