import type { DiagnosticKind } from './diagnostic-kind.ts';

export const duplicateName: DiagnosticKind = {
  code: 'duplicate-name',
  severity: 'error',
  says: 'Two steps of one name side by side, two laws of one name, or one value twice in a list.',
  marks: 'value',
};
