import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const missingKey: DiagnosticKind = {
  code: 'missing-key',
  severity: 'error',
  says: 'A key that is needed is not there.',
  marks: 'value',
  examine: withoutInstrument,
};

/** A judged reading of which nobody knows by what it is read. Counts, times and ratios need nothing to be seen. */
function* withoutInstrument({ plans }: Subject): Generator<Finding> {
  for (const plan of plans) {
    const judged = new Set(plan.tolerances.flatMap((one) => one.entries));
    for (const [index, entry] of plan.entries.entries()) {
      if (entry.entry !== 'reading' || entry.instrument !== undefined || !judged.has(index)) continue;
      if (['count', 'time', 'ratio'].includes(entry.kind)) continue;
      yield {
        severity: 'warning',
        pointer: entry.pointer,
        marks: 'key',
        message: `The key instrument is missing here: ${entry.name.split('@')[0]?.split('.').at(-1)} is judged, and nobody knows what it is read by.`,
        remedy: 'Name the instrument: instrument: steel-rule.',
      };
    }
  }
}
