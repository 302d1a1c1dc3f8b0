import type { DiagnosticKind } from './diagnostic-kind.ts';

export const overlayOfAnother: DiagnosticKind = {
  code: 'overlay-of-another',
  severity: 'error',
  says: 'An overlay was written over another pack, or another revision of it.',
  marks: 'value',
};
