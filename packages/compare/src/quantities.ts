import { inOtherSystem, parseStatement, type Quantity, writeQuantity } from '@ferrule/engine';
import { canonical } from '@ferrule/signing';
import { isList, isMapping } from './json.ts';

/** The quantity that a text states, the first where it states two; undefined where it is none. */
export function quantityIn(text: unknown): Quantity | undefined {
  if (typeof text !== 'string') return undefined;
  const read = parseStatement(text);
  return 'fault' in read ? undefined : read.original;
}

/** A value with each quantity in one form, so that equal values have equal text. */
export function normal(value: unknown): string {
  return canonical(normalised(value));
}

function normalised(value: unknown): unknown {
  if (isList(value)) return value.map(normalised);
  if (isMapping(value))
    return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, normalised(one)]));
  const quantity = quantityIn(value);
  return quantity === undefined || quantity.unit.symbol === ''
    ? (value ?? null)
    : `${quantity.kind} ${quantity.value.toString()}`;
}

/** A quantity in the other system of units, or nothing. */
export function inOther(text: unknown): string | undefined {
  const quantity = quantityIn(text);
  const other = quantity === undefined ? undefined : inOtherSystem(quantity);
  return other === undefined ? undefined : writeQuantity(other);
}
