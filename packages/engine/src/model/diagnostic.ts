import type { DiagnosticCode } from './diagnostic-code.ts';

export { type DiagnosticCode, diagnosticCodes } from './diagnostic-code.ts';

/**
 * A stretch of a source file. Lines and columns count from 1, columns in UTF-16 code units; the end is the
 * place just after the last character. `file` is relative to the pack folder, with forward slashes.
 */
export interface Span {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
}

export type Severity = 'error' | 'warning' | 'note';

/** Another place that a diagnostic needs to be understood, such as the first of two equal keys. */
export interface RelatedPlace {
  readonly pointer: string;
  readonly span?: Span;
  readonly message: string;
}

/**
 * One fault found in a pack. `pointer` is an RFC 6901 JSON Pointer into the merged document ('' when the
 * fault belongs to no value in it); `span` is absent when there is no text to show, never invented.
 */
export interface Diagnostic {
  readonly code: DiagnosticCode;
  readonly severity: Severity;
  readonly pointer: string;
  readonly span?: Span;
  readonly message: string;
  readonly remedy?: string;
  readonly other?: readonly RelatedPlace[];
  /** The fault is the key at the pointer, where others of its kind are the value. */
  readonly marks?: 'key';
}

const compareTexts = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

function compareSpans(a: Span | undefined, b: Span | undefined): number {
  if (a === undefined || b === undefined) return Number(a !== undefined) - Number(b !== undefined);
  return (
    compareTexts(a.file, b.file) ||
    a.line - b.line ||
    a.column - b.column ||
    a.endLine - b.endLine ||
    a.endColumn - b.endColumn
  );
}

/**
 * Orders diagnostics by position: those without a span first, then by file, start and end, then by pointer,
 * code and message. Texts compare by code unit, so the order is the same on every machine.
 */
export function compareDiagnostics(a: Diagnostic, b: Diagnostic): number {
  return (
    compareSpans(a.span, b.span) ||
    compareTexts(a.pointer, b.pointer) ||
    compareTexts(a.code, b.code) ||
    compareTexts(a.message, b.message)
  );
}
