import type { DiagnosticKind } from './diagnostic-kind.ts';

export const needsBore: DiagnosticKind = {
  code: 'needs-bore',
  severity: 'error',
  says: 'Something that there is once in each bore is named where no bore is meant.',
  marks: 'value',
};
