import type { DiagnosticKind } from './diagnostic-kind.ts';

export const badAlias: DiagnosticKind = {
  code: 'bad-alias',
  severity: 'error',
  says: 'An alias does not lead to an anchor, or not to one alone.',
  marks: 'value',
};
