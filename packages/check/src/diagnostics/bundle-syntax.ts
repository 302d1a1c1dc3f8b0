import type { DiagnosticKind } from './diagnostic-kind.ts';

export const bundleSyntax: DiagnosticKind = {
  code: 'bundle-syntax',
  severity: 'error',
  says: 'A bundle is not JSON, or not in canonical form.',
  marks: 'value',
};
