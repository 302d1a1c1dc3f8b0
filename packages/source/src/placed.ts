import { isList, isMapping, type SourceValue } from './source-value.ts';
import { partOf, type Spot } from './spot.ts';

/** A value with where it stands, whatever it is. */
export interface Placed {
  readonly value: SourceValue;
  readonly spot: Spot;
}

/** What stands under a key or at a place of a list; undefined where there is nothing. */
export const inside = ({ value, spot }: Placed, key: string): Placed | undefined => {
  const found =
    isMapping(value) && Object.hasOwn(value, key)
      ? value[key]
      : isList(value)
        ? value[Number(key)]
        : undefined;
  return found === undefined ? undefined : { value: found, spot: partOf(spot, key) ?? {} };
};

/** A mapping with one key more, or with another value for it. */
export function withKey({ value, spot }: Placed, key: string, item: Placed): Placed {
  const parts = new Map(spot.parts instanceof Map ? spot.parts : []);
  parts.set(key, item.spot);
  return { value: { ...(isMapping(value) ? value : {}), [key]: item.value }, spot: { ...spot, parts } };
}

/** A mapping without some of its keys. */
export function withoutKeys({ value, spot }: Placed, keys: readonly string[]): Placed {
  const entries = Object.entries(isMapping(value) ? value : {}).filter(([key]) => !keys.includes(key));
  const parts = new Map(spot.parts instanceof Map ? spot.parts : []);
  for (const key of keys) parts.delete(key);
  return { value: Object.fromEntries(entries), spot: { ...spot, parts } };
}

/** A list of what stands in several places. */
export const listOf = (items: readonly Placed[], spot: Spot): Placed => ({
  value: items.map((one) => one.value),
  spot: { ...spot, parts: items.map((one) => one.spot) },
});

/** The items of a list; what is no list is one item. */
export const itemsOf = (placed: Placed | undefined): readonly Placed[] =>
  placed === undefined
    ? []
    : isList(placed.value)
      ? placed.value.map((value, index) => ({ value, spot: partOf(placed.spot, String(index)) ?? {} }))
      : [placed];

/** The names of a mapping, in order. */
export const namesOf = (placed: Placed | undefined): readonly string[] =>
  isMapping(placed?.value) ? Object.keys(placed.value) : [];

/** A text; empty where something else stands. */
export const textOf = (placed: Placed | undefined): string =>
  typeof placed?.value === 'string' ? placed.value : '';

/** What is wrong with a part of an overlay, and where. */
export interface Objection {
  readonly code: 'overlay-weakens' | 'reversed-pair' | 'bad-quantity' | 'dual-disagrees';
  readonly at: Placed | undefined;
  readonly message: string;
  readonly remedy: string;
}
