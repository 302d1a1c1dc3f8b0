import type { Diagnostic, DiagnosticCode, Severity } from '@ferrule/engine';
import { pointerOf } from './pointer.ts';
import { type Range, spanOf } from './spot.ts';

/** A fault of one file, found before it is known where the file goes in the merged document. */
export interface Fault {
  readonly code: DiagnosticCode;
  /** An error if not said. */
  readonly severity?: Severity;
  /** Tokens of the place inside the file's own root. */
  readonly at: readonly string[];
  readonly range: Range;
  readonly message: string;
  readonly remedy?: string;
  readonly other?: { readonly at: readonly string[]; readonly range: Range; readonly message: string };
}

/** The diagnostic of a fault; `rebase` moves tokens from the file's root into the merged document. */
export function diagnosticOf(
  { code, severity = 'error', at, range, message, remedy, other }: Fault,
  rebase: (tokens: readonly string[]) => readonly string[] = (tokens) => tokens,
): Diagnostic {
  const place = (tokens: readonly string[], where: Range) => ({
    pointer: pointerOf(rebase(tokens)),
    span: spanOf(where),
  });
  return {
    code,
    severity,
    ...place(at, range),
    message,
    ...(remedy === undefined ? {} : { remedy }),
    ...(other === undefined ? {} : { other: [{ ...place(other.at, other.range), message: other.message }] }),
  };
}
