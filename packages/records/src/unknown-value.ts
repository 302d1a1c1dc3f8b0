import { nearest } from '@ferrule/engine';

/** A value that was asked for, and that nothing in a store has, whatever else was asked for. */
export interface UnknownValue {
  /** What it was asked as, such as `role`. */
  readonly name: string;
  readonly value: string;
  /** The known one that it is most like. */
  readonly near?: string;
  /** Those that there are, in order; the first ones where they are many. */
  readonly known: readonly string[];
  /** All of it as a sentence or two. */
  readonly says: string;
}

/** So many are named. */
const MOST_NAMED = 20;

/** What there is to say of a value that is not among those that are known; undefined when it is. `says` is without its point. */
export function unknownValue(
  name: string,
  value: string,
  among: Iterable<string>,
  says: string,
): UnknownValue | undefined {
  const all = [...new Set(among)].sort();
  if (all.length === 0 || all.includes(value)) return undefined;
  const near = all.find((one) => one.toLowerCase() === value.toLowerCase()) ?? nearest(value, all);
  const known = all.slice(0, MOST_NAMED);
  const more = all.length > known.length ? `, and ${all.length - known.length} more` : '';
  const hint = near === undefined ? '' : ` Did you mean ${near}?`;
  return {
    ...{ name, value, ...(near === undefined ? {} : { near }), known },
    says: `${says}.${hint} There ${all.length === 1 ? 'is' : 'are'} ${known.join(', ')}${more}.`,
  };
}
