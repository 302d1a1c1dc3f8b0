import type { DiagnosticKind } from './diagnostic-kind.ts';

export const badExpression: DiagnosticKind = {
  code: 'bad-expression',
  severity: 'error',
  says: 'An expression means nothing.',
  marks: 'value',
};
