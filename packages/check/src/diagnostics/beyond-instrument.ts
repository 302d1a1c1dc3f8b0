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
  for (const { entries, instruments } of plans) {
    for (const entry of entries) {
      if (entry.entry !== 'reading' || entry.instrument === undefined) continue;
      const instrument = instruments.find((one) => one.id === entry.instrument);
      if (instrument === undefined) continue;
      const [low, high] = entry.plausible;
      const [lowest, highest] = instrument.range;
      if (low.value.compare(lowest.value) >= 0 && high.value.compare(highest.value) <= 0) continue;
      yield {
        pointer: pointerTo(entry.pointer, 'plausible'),
        message: `${writeQuantity(low)} to ${writeQuantity(high)} goes beyond the range of ${instrument.id}.`,
        remedy: 'Keep the plausible values inside the range, or name another instrument.',
        other: [
          {
            pointer: pointerTo('/instruments', instrument.id, 'range'),
            message: `its range: ${writeQuantity(lowest)} to ${writeQuantity(highest)}`,
          },
        ],
      };
    }
  }
}
