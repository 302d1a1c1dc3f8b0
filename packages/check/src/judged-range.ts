import { type Plan, type PlanTolerance, pointerTo, type RelatedPlace, writeQuantity } from '@ferrule/engine';

/** A tolerance of a reading itself, and on which sides of its limits a plausible value can lie. */
export interface JudgedRange {
  readonly tolerance: PlanTolerance;
  readonly canConform: boolean;
  readonly canFail: boolean;
  /** Where the plausible values stand. */
  readonly plausible: RelatedPlace;
}

/** Every tolerance that judges a value as it was read. What a derived value can come to is not bounded so simply. */
export function* judgedRanges(plans: readonly Plan[]): Generator<JudgedRange> {
  for (const { tolerances, entries } of plans) {
    for (const tolerance of tolerances) {
      const { value, limits } = tolerance;
      const entry = value.node === 'name' ? entries.find((one) => one.name === value.name) : undefined;
      if (entry?.entry !== 'reading') continue;
      const [lowest, highest] = entry.plausible;
      const { low, high } = limits;
      const isTooLow = low !== undefined && highest.value.compare(low.value) < 0;
      const isTooHigh = high !== undefined && lowest.value.compare(high.value) > 0;
      const canBeLow = low !== undefined && lowest.value.compare(low.value) < 0;
      const canBeHigh = high !== undefined && highest.value.compare(high.value) > 0;
      const range = `${writeQuantity(lowest)} to ${writeQuantity(highest)}`;
      yield {
        tolerance,
        canConform: !isTooLow && !isTooHigh,
        canFail: canBeLow || canBeHigh,
        plausible: {
          pointer: pointerTo(entry.pointer, 'plausible'),
          message: `what ${entry.name} can be: ${range}`,
        },
      };
    }
  }
}
