import { posix } from 'node:path';
import type { Diagnostic, Span } from '@ferrule/engine';

/** `path:line:column` from where the command was called; the folder alone where there is no text to point at. */
export function writePlace(folder: string, span: Span | undefined): string {
  const path = folder.replaceAll('\\', '/');
  return span === undefined ? path : `${posix.join(path, span.file)}:${span.line}:${span.column}`;
}

/** `path:line:column severity code message`, without a place where there is none, with the remedy and the other places on lines of their own. */
export function writeDiagnostic(folder: string, diagnostic: Diagnostic): string {
  const { severity, code, message, remedy, other = [] } = diagnostic;
  return [
    `${writePlace(folder, diagnostic.span)} ${severity} ${code} ${message}`.trimStart(),
    ...(remedy === undefined ? [] : [`    ${remedy}`]),
    ...other.map((one) => `    ${writePlace(folder, one.span)} ${one.message}`),
  ].join('\n');
}
