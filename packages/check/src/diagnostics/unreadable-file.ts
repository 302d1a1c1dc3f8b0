import type { DiagnosticKind } from './diagnostic-kind.ts';

export const unreadableFile: DiagnosticKind = {
  code: 'unreadable-file',
  severity: 'error',
  says: 'The operating system does not let a file or folder be read.',
  marks: 'value',
};
