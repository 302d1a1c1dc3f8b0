import type { TypedAmount } from '../logic/index.ts';
import { standsOut } from '../measure/index.ts';
import type { TakenBy } from './uncertainty-of.ts';

/**
 * Where a value compares one reading over several places (the spread over the bores, the lowest as a share of the
 * highest), the name of the reading that stands out from the others: `compression@3`. Undefined where none does.
 */
export function outstanding(value: TypedAmount, taken: TakenBy): string | undefined {
  const names = compared(value);
  const readings = names.flatMap((name) => {
    const reading = taken(name);
    return reading === undefined ? [] : [{ name, value: reading.quantity.value }];
  });
  return readings.length < names.length ? undefined : standsOut(readings)?.name;
}

/** The places of the first reading that is compared over three or more of them. */
function compared(value: TypedAmount): readonly string[] {
  if (value.node !== 'calculation') return [];
  const names = value.operands.flatMap((one) => (one.node === 'name' ? [one.name] : []));
  const isOneReading = new Set(names.map((name) => name.split('@')[0])).size === 1;
  if (comparing.includes(value.operation) && names.length > 2 && isOneReading) return names;
  return value.operands.map(compared).find((one) => one.length > 0) ?? [];
}

const comparing: readonly string[] = ['lowest', 'highest', 'spread'];
