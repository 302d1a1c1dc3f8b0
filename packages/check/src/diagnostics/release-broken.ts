import type { DiagnosticKind } from './diagnostic-kind.ts';

export const releaseBroken: DiagnosticKind = {
  code: 'release-broken',
  severity: 'error',
  says: 'A release does not hold: it was changed, or what was released is not what is here.',
  marks: 'value',
};
