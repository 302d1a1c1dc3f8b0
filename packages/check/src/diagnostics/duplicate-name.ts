import type { DiagnosticKind } from './diagnostic-kind.ts';

export const duplicateName: DiagnosticKind = {
  code: 'duplicate-name',
  severity: 'error',
  says: 'Two steps side by side or two laws have one name, or a list has a value twice.',
  marks: 'value',
};
