import type { Stage, Subject } from './diagnostics/diagnostic-kind.ts';
import { diagnosticKinds } from './diagnostics/index.ts';

/** Lets every kind of diagnostic that looks for its fault itself at this stage look for it, and reports what it finds. */
export function examine(subject: Subject, stage: Stage): void {
  for (const { code, severity, when = 'resolved', examine } of Object.values(diagnosticKinds)) {
    if (when !== stage) continue;
    for (const { pointer, message, ...more } of examine?.(subject) ?? [])
      subject.report.add(code, pointer, message, { severity, ...more });
  }
}
