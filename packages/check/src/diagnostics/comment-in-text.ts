import type { DiagnosticKind } from './diagnostic-kind.ts';

export const commentInText: DiagnosticKind = {
  code: 'comment-in-text',
  severity: 'warning',
  says: 'A number sign behind a text makes a comment of the rest of the line.',
  marks: 'value',
};
