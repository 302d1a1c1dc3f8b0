import { pointerTo, writeQuantity } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const beyondInstrument: DiagnosticKind = {
  code: 'beyond-instrument',
  severity: 'warning',
  says: 'A torque or a plausible value of a reading lies beyond what its instrument can show.',
  marks: 'value',
  examine: readingsBeyondInstrument,
};

/** Readings that may be plausible where their instrument shows nothing: no such value could ever be entered. */
function* readingsBeyondInstrument({ plans }: Subject): Generator<Finding> {
  const beyond = new Map<string, Finding & { readonly instrument: string }>();
  const within = new Set<string>();
  for (const { entries, instruments } of plans) {
    for (const entry of entries) {
      if (entry.entry !== 'reading' || entry.instrument === undefined) continue;
      const instrument = instruments.find((one) => one.id === entry.instrument);
      if (instrument === undefined) continue;
      const [low, high] = entry.plausible;
      const [lowest, highest] = instrument.range;
      if (low.value.compare(lowest.value) >= 0 && high.value.compare(highest.value) <= 0) {
        within.add(instrument.id);
        continue;
      }
      beyond.set(entry.pointer, {
        instrument: instrument.id,
        pointer: pointerTo(entry.pointer, 'plausible'),
        message: `${writeQuantity(low)} to ${writeQuantity(high)} goes beyond the range of ${instrument.id}.`,
        remedy: 'Keep the plausible values inside the range, or name another instrument.',
        other: [
          {
            pointer: pointerTo('/instruments', instrument.id, 'range'),
            message: `its range: ${writeQuantity(lowest)} to ${writeQuantity(highest)}`,
          },
        ],
      });
    }
  }
  const findings = [...beyond.values()];
  for (const { instrument, ...finding } of findings) {
    const all = findings.filter((one) => one.instrument === instrument);
    if (within.has(instrument) || all.length < 2) yield finding;
    else if (all[0]?.pointer === finding.pointer)
      // What none of its readings fits is more likely wrong itself.
      yield {
        pointer: pointerTo('/instruments', instrument, 'range'),
        message: `None of the ${all.length} readings that are taken with ${instrument} stays inside its range: ${finding.message}`,
        remedy: 'Correct the range, or name another instrument for them.',
        other: all.map(({ pointer }) => ({ pointer, message: 'what is plausible' })),
      };
  }
}
