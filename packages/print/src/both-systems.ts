import {
  convert,
  inOtherSystem,
  type PlanTolerance,
  type Quantity,
  type Stage,
  writeQuantity,
} from '@ferrule/engine';

/** A quantity as the pack states it, with the other system of units behind it: `43 N·m (32 lbf·ft)`. */
export function inBothSystems(quantity: Quantity): string {
  const other = inOtherSystem(quantity);
  return other === undefined
    ? writeQuantity(quantity)
    : `${writeQuantity(quantity)} (${writeQuantity(other)})`;
}

/** What limits come to, in the pack's unit and in that of the other system. */
export interface WrittenInBoth {
  /** As the pack says it: `0.036 mm ± 0.005 mm`. */
  readonly says: string;
  /** The limits themselves where the pack says them by a nominal value: `0.031 mm to 0.041 mm`. */
  readonly limits?: string;
  /** The limits in the unit of the other system; undefined where there is none, as for a count. */
  readonly other?: string;
}

export function limitsInBoth({ limits, unit, decimals, says }: PlanTolerance): WrittenInBoth {
  const own = (amount: PlanTolerance['limits']['low']): Quantity | undefined =>
    amount && convert(amount, unit, decimals);
  const low = own(limits.low);
  const high = own(limits.high);
  const other = { low: low && inOtherSystem(low), high: high && inOtherSystem(high) };
  const inOwn = range(low, high);
  const inOther = range(other.low, other.high);
  return {
    says,
    ...(inOwn === says || inOwn === undefined ? {} : { limits: inOwn }),
    ...(inOther === undefined ? {} : { other: inOther }),
  };
}

function range(low: Quantity | undefined, high: Quantity | undefined): string | undefined {
  if (low === undefined) return high && `at most ${writeQuantity(high)}`;
  if (high === undefined) return `at least ${writeQuantity(low)}`;
  return low.value.equals(high.value)
    ? `exactly ${writeQuantity(low)}`
    : `${writeQuantity(low)} to ${writeQuantity(high)}`;
}

/** One stage of tightening, in both systems where it has two. */
export function stageInBoth(stage: Stage): string {
  switch (stage.stage) {
    case 'torque':
      return inBothSystems(stage.torque);
    case 'angle':
      return `then by ${writeQuantity(stage.angle)}`;
    case 'slacken':
      return stage.angle === undefined ? 'slacken' : `slacken by ${writeQuantity(stage.angle)}`;
  }
}
