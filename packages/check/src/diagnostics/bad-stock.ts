import type { DiagnosticKind } from './diagnostic-kind.ts';

export const badStock: DiagnosticKind = {
  code: 'bad-stock',
  severity: 'error',
  says: 'The sizes of a stock are not in order, stand there twice, or cannot be put together as it says.',
  marks: 'value',
};
