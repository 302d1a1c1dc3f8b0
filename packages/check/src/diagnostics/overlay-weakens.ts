import type { DiagnosticKind } from './diagnostic-kind.ts';

export const overlayWeakens: DiagnosticKind = {
  code: 'overlay-weakens',
  severity: 'error',
  says: 'Something in an overlay would make the pack weaker, or nothing shows that it would not.',
  marks: 'value',
};
