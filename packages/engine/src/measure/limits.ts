import { type Amount, addAmounts, type Quantity, type Rational, subtractAmounts } from '../quantity/index.ts';
import type { Distances } from './conformity-probability.ts';

/** The tolerance limits of one measurand, inclusive. At least one side is there. */
export interface Limits {
  readonly low?: Amount;
  readonly high?: Amount;
  readonly nominal?: Amount;
}

/** A tolerance as it is written. Limits are quantities of the kind of what they limit. */
export type WrittenLimits =
  | {
      readonly form: 'deviation';
      readonly nominal: Quantity;
      readonly plus: Quantity;
      readonly minus: Quantity;
    }
  | { readonly form: 'between'; readonly low: Quantity; readonly high: Quantity }
  | { readonly form: 'at-least'; readonly low: Quantity }
  | { readonly form: 'at-most'; readonly high: Quantity };

export type LimitsFault = { readonly fault: 'reversed' } | { readonly fault: 'no-sum' };

/**
 * The limits that a written tolerance comes to, exactly. A deviation of a temperature is a temperature
 * difference. Returns a fault when the lower limit lies above the upper one, or nominal and deviation have no sum.
 */
export function limitsOf(written: WrittenLimits): Limits | LimitsFault {
  switch (written.form) {
    case 'at-least':
      return { low: written.low };
    case 'at-most':
      return { high: written.high };
    case 'between':
      return ordered({ low: written.low, high: written.high });
    case 'deviation': {
      const high = addAmounts(written.nominal, written.plus);
      const low = subtractAmounts(written.nominal, written.minus);
      if ('fault' in high || 'fault' in low) return { fault: 'no-sum' };
      return ordered({ low: low.amount, high: high.amount, nominal: written.nominal });
    }
  }
}

function ordered(limits: Limits & { readonly low: Amount; readonly high: Amount }): Limits | LimitsFault {
  return limits.low.value.compare(limits.high.value) > 0 ? { fault: 'reversed' } : limits;
}

/** How far a value lies inside its limits: the distance to the nearer limit, negative outside. Base units. */
export const marginOf = (value: Rational, limits: Limits): Rational => nearer(distancesTo(value, limits));

/** How far a value lies inside each of its limits. */
export const distancesTo = (value: Rational, { low, high }: Limits): Distances => ({
  fromLow: low === undefined ? undefined : value.minus(low.value),
  fromHigh: high === undefined ? undefined : high.value.minus(value),
});

/** The distance to the nearer limit. */
export function nearer({ fromLow, fromHigh }: Distances): Rational {
  if (fromLow !== undefined && fromHigh !== undefined)
    return fromLow.compare(fromHigh) <= 0 ? fromLow : fromHigh;
  const only = fromLow ?? fromHigh;
  if (only === undefined) throw new Error('limits without a side');
  return only;
}
