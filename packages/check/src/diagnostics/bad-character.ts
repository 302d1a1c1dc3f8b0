import type { DiagnosticKind } from './diagnostic-kind.ts';

export const badCharacter: DiagnosticKind = {
  code: 'bad-character',
  severity: 'error',
  says: 'A character cannot be seen, or turns the order of the text round.',
  marks: 'value',
};
