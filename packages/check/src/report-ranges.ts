import { type Plan, pointerTo, type Report, writeQuantity } from '@ferrule/engine';

/** Reports readings that may be plausible where their instrument shows nothing: no such value could ever be entered. */
export function reportRanges(plans: readonly Plan[], report: Report): void {
  for (const plan of plans) {
    for (const entry of plan.entries) {
      if (entry.entry !== 'reading' || entry.instrument === undefined) continue;
      const instrument = plan.instruments.find((one) => one.id === entry.instrument);
      if (instrument === undefined) continue;
      const [low, high] = entry.plausible;
      const [lowest, highest] = instrument.range;
      if (low.value.compare(lowest.value) >= 0 && high.value.compare(highest.value) <= 0) continue;
      report.add(
        'beyond-instrument',
        pointerTo(entry.pointer, 'plausible'),
        `${writeQuantity(low)} to ${writeQuantity(high)} goes beyond the range of ${instrument.id}.`,
        {
          severity: 'warning',
          remedy: 'Keep the plausible values inside the range, or name another instrument.',
          other: [
            {
              pointer: pointerTo('/instruments', instrument.id, 'range'),
              message: `its range: ${writeQuantity(lowest)} to ${writeQuantity(highest)}`,
            },
          ],
        },
      );
    }
  }
}
