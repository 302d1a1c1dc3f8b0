import { type Plan, pointerTo, type Report, writeQuantity } from '@ferrule/engine';

/**
 * Reports limits that no plausible value of their reading can miss, or none can keep. Only what is judged as it was read
 * is looked at: what a derived value can come to is not bounded so simply.
 */
export function reportLimits(plans: readonly Plan[], report: Report): void {
  for (const { tolerances, entries } of plans) {
    for (const { value, limits, name, says, pointer } of tolerances) {
      const entry = value.node === 'name' ? entries.find((one) => one.name === value.name) : undefined;
      if (entry?.entry !== 'reading') continue;
      const [lowest, highest] = entry.plausible;
      const { low, high } = limits;
      const isTooLow = low !== undefined && highest.value.compare(low.value) < 0;
      const isTooHigh = high !== undefined && lowest.value.compare(high.value) > 0;
      const canBeLow = low !== undefined && lowest.value.compare(low.value) < 0;
      const canBeHigh = high !== undefined && highest.value.compare(high.value) > 0;
      const range = `${writeQuantity(lowest)} to ${writeQuantity(highest)}`;
      const other = [
        { pointer: pointerTo(entry.pointer, 'plausible'), message: `what ${entry.name} can be: ${range}` },
      ];
      const remedy = 'Correct the limits, or the plausible values.';
      if (isTooLow || isTooHigh)
        report.add('cannot-conform', pointer, `No plausible value keeps ${name}: ${says}.`, {
          remedy,
          other,
        });
      else if (!canBeLow && !canBeHigh) {
        const message = `Every plausible value keeps ${name}: ${says}.`;
        report.add('cannot-fail', pointer, message, { severity: 'warning', remedy, other });
      }
    }
  }
}

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
