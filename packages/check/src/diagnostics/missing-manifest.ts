import type { DiagnosticKind } from './diagnostic-kind.ts';

export const missingManifest: DiagnosticKind = {
  code: 'missing-manifest',
  severity: 'error',
  says: 'The folder has no `pack.yaml`.',
  marks: 'value',
};
