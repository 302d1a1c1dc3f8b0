import type { DiagnosticKind } from './diagnostic-kind.ts';

export const bundleSyntax: DiagnosticKind = {
  code: 'bundle-syntax',
  severity: 'error',
  says: 'A bundle, the one text into which a pack is frozen, is no JSON or not in canonical form.',
  marks: 'value',
};
