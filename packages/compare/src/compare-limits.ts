import {
  type Amount,
  type Limits,
  limitsOf,
  type Quantity,
  type Rational,
  writeInFull,
} from '@ferrule/engine';
import type { Limit, Span } from './change.ts';
import { isMapping, listOf, type Mapping, mappingOf } from './json.ts';
import { inOther, quantityIn, sameMeaning } from './quantities.ts';

const limitKeys = ['nominal', 'deviation', 'plus', 'minus', 'between', 'at-least', 'at-most'] as const;

/** The limits of a tolerance as they are written, without the rest of it. */
export function writtenLimits(tolerance: Mapping): Mapping {
  return Object.fromEntries(
    limitKeys.filter((key) => Object.hasOwn(tolerance, key)).map((key) => [key, tolerance[key]]),
  );
}

/** The key at which limits are best pointed at: the first that the other revision has otherwise. */
export const limitKey = (limits: Mapping, others: Mapping): string => {
  const there = limitKeys.filter((key) => Object.hasOwn(limits, key));
  return there.find((key) => !sameMeaning(limits[key], others[key])) ?? there[0] ?? 'of';
};

/** The facts of a variant that limits name: `travel-low`. */
export const factsIn = (limits: Mapping): readonly string[] =>
  Object.values(limits)
    .flatMap((value) => listOf(value))
    .flatMap((value) =>
      typeof value === 'string' && value.startsWith('variant.') ? [value.slice('variant.'.length)] : [],
    );

/** Reads what limits say for one variant; nothing where it is worked out from readings or cannot be read. */
function reader(variant: unknown): (value: unknown) => Quantity | undefined {
  const facts = mappingOf(mappingOf(variant)['facts']);
  return (value) =>
    quantityIn(
      typeof value === 'string' && value.startsWith('variant.')
        ? facts[value.slice('variant.'.length)]
        : value,
    );
}

/** Limits for one variant: the numbers, or nothing where they are worked out from readings or cannot be read. */
export function limitsFor(limits: Mapping, variant: unknown): Limits | undefined {
  const read = reader(variant);
  const [low, high] = listOf(limits['between']).map(read);
  const least = read(limits['at-least']);
  const most = read(limits['at-most']);
  const nominal = read(limits['nominal']);
  const deviation = read(limits['deviation']);
  const plus = deviation ?? read(limits['plus']);
  const minus = deviation ?? read(limits['minus']);
  const found =
    low !== undefined && high !== undefined
      ? limitsOf({ form: 'between', low, high })
      : least !== undefined
        ? limitsOf({ form: 'at-least', low: least })
        : most !== undefined
          ? limitsOf({ form: 'at-most', high: most })
          : nominal !== undefined && plus !== undefined && minus !== undefined
            ? limitsOf({ form: 'deviation', nominal, plus, minus })
            : undefined;
  return found === undefined || 'fault' in found ? undefined : found;
}

/** The same limits to be drawn, in the unit that the first of them is written in, and with the most decimals of any. */
export function spanFor(limits: Mapping, variant: unknown, { low, high }: Limits): Span {
  const read = reader(variant);
  const written = Object.values(limits)
    .flatMap((value) => listOf(value))
    .flatMap((value) => read(value) ?? []);
  const unit = written.find(({ kind }) => kind === (low ?? high)?.kind)?.unit;
  const decimals = Math.max(0, ...written.map((one) => one.decimals));
  const drawn = (amount: Amount): Limit => ({
    at: amount.value.toNumber(),
    says: unit === undefined ? amount.value.toString() : writeInFull(amount, unit, decimals),
  });
  return {
    ...(low === undefined ? {} : { low: drawn(low) }),
    ...(high === undefined ? {} : { high: drawn(high) }),
  };
}

export type LimitRelation = 'same' | 'tightened' | 'loosened' | 'shifted';

/** How limits lie to those before: a side that is not there accepts everything on that side. */
export function limitRelation(before: Limits, after: Limits): LimitRelation {
  const low = order(before.low?.value, after.low?.value, -1);
  const high = order(before.high?.value, after.high?.value, 1);
  const aim =
    before.nominal !== undefined &&
    after.nominal !== undefined &&
    !before.nominal.value.equals(after.nominal.value);
  if (low === 0 && high === 0) return aim ? 'shifted' : 'same';
  if (low >= 0 && high >= 0) return 'tightened';
  if (low <= 0 && high <= 0) return 'loosened';
  return 'shifted';
}

/** 1 where the limit has come further in, −1 where it has gone further out. `side` is 1 for the upper one. */
function order(before: Rational | undefined, after: Rational | undefined, side: 1 | -1): number {
  if (before === undefined) return after === undefined ? 0 : 1;
  if (after === undefined) return -1;
  return Math.sign(before.compare(after)) * side;
}

/** Limits as a reader says them: `0.030 mm ± 0.006 mm`, `at most 12 s`; facts with what they are for a variant. */
export function writeLimits(
  limits: Mapping,
  variant: unknown,
): { readonly says: string; readonly other?: string } {
  const facts = mappingOf(mappingOf(variant)['facts']);
  const say = (value: unknown): string => {
    if (typeof value !== 'string') return isMapping(value) ? 'worked out' : String(value);
    const fact = value.startsWith('variant.') ? facts[value.slice('variant.'.length)] : undefined;
    return typeof fact === 'string' ? fact : value;
  };
  const two = (write: (text: (value: unknown) => string) => string): { says: string; other?: string } => {
    const quantities = Object.values(limits).flatMap((value) => listOf(value));
    const others = quantities.map((value) => inOther(say(value)));
    const says = write(say);
    return others.some((one) => one === undefined)
      ? { says }
      : { says, other: write((value) => inOther(say(value)) ?? '') };
  };
  const [low, high] = listOf(limits['between']);
  if (low !== undefined) return two((text) => `${text(low)} to ${text(high)}`);
  if (limits['at-least'] !== undefined) return two((text) => `at least ${text(limits['at-least'])}`);
  if (limits['at-most'] !== undefined) return two((text) => `at most ${text(limits['at-most'])}`);
  if (limits['deviation'] !== undefined)
    return two((text) => `${text(limits['nominal'])} ± ${text(limits['deviation'])}`);
  return two((text) => `${text(limits['nominal'])} + ${text(limits['plus'])} − ${text(limits['minus'])}`);
}
