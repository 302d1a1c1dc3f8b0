import type { DiagnosticKind, Subject } from './diagnostics/diagnostic-kind.ts';

/** Lets every kind of diagnostic that looks for its fault itself look for it, and reports what each finds. */
export function examineWith(kinds: readonly DiagnosticKind[], subject: Subject): void {
  for (const { code, severity, examine } of kinds) {
    for (const { pointer, message, ...more } of examine?.(subject) ?? [])
      subject.report.add(code, pointer, message, { severity, ...more });
  }
}
