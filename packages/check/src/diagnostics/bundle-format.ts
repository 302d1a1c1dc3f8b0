import type { DiagnosticKind } from './diagnostic-kind.ts';

export const bundleFormat: DiagnosticKind = {
  code: 'bundle-format',
  severity: 'error',
  says: 'A text is JSON but no bundle, or a bundle of another version.',
  marks: 'value',
};
