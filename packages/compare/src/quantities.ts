import { inOtherSystem, parseStatement, type Quantity, writeQuantity } from '@ferrule/engine';
import { canonical } from '@ferrule/signing';
import { isList, isMapping } from './json.ts';

/** The quantity that a text states, the first where it states two; undefined where it is none. */
export function quantityIn(text: unknown): Quantity | undefined {
  // Most texts are words, and what begins with a letter states no quantity.
  if (typeof text !== 'string' || /^\s*\p{L}/u.test(text)) return undefined;
  const read = parseStatement(text);
  return 'fault' in read ? undefined : read.original;
}

/** A value with each quantity in one form, so that equal values have equal text. */
export function normal(value: unknown): string {
  return canonical(normalised(value));
}

/** Whether two values mean the same: a quantity may be written in another unit, and the order of keys says nothing. */
export function sameMeaning(one: unknown, other: unknown): boolean {
  if (one === other) return true;
  if (isList(one))
    return (
      isList(other) && one.length === other.length && one.every((item, at) => sameMeaning(item, other[at]))
    );
  if (isMapping(one)) {
    if (!isMapping(other)) return false;
    const keys = Object.keys(one);
    return (
      keys.length === Object.keys(other).length &&
      keys.every((key) => Object.hasOwn(other, key) && sameMeaning(one[key], other[key]))
    );
  }
  const from = quantityIn(one);
  const to = quantityIn(other);
  if (from === undefined || to === undefined || from.unit.symbol === '' || to.unit.symbol === '')
    return false;
  return from.kind === to.kind && from.value.equals(to.value);
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
