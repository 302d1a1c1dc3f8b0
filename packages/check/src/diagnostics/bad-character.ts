import type { DiagnosticKind } from './diagnostic-kind.ts';

export const badCharacter: DiagnosticKind = {
  code: 'bad-character',
  severity: 'error',
  says: 'A character that cannot be seen, or that turns the order of the text round, so that a person reads something else than the machine.',
  marks: 'value',
};
