import type { DiagnosticKind } from './diagnostic-kind.ts';

export const badAlias: DiagnosticKind = {
  code: 'bad-alias',
  severity: 'error',
  says: 'An alias without an anchor above it in the same file, an anchor set twice, or an alias inside its own anchor.',
  marks: 'value',
};
