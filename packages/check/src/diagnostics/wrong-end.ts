import type { DiagnosticKind } from './diagnostic-kind.ts';

export const wrongEnd: DiagnosticKind = {
  code: 'wrong-end',
  severity: 'error',
  says: "A way ends in other states than declared, with a single-use part off and not renewed, or with another bore's part fitted.",
  marks: 'value',
};
