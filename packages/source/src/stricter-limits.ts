import {
  agreementRemedy,
  describeDisagreement,
  describeQuantityFault,
  type Kind,
  parseStatement,
  type Quantity,
  Rational,
  spanKind,
  type Unit,
  valueIn,
  writeAmount,
  writeQuantity,
} from '@ferrule/engine';
import {
  inside,
  itemsOf,
  listOf,
  namesOf,
  type Objection,
  type Placed,
  textOf,
  withKey,
  withoutKeys,
} from './placed.ts';

type Side = 'low' | 'high';
const sides = ['low', 'high'] as const;
const limitKeys = ['nominal', 'deviation', 'plus', 'minus', 'between', 'at-least', 'at-most'];

/**
 * The tolerance of a pack, with constant limits, as `stricter` narrows it; or why it cannot. Where a limit is a fact of the
 * variant, what is written has to lie inside that of every variant that has the fact.
 */
export function narrow(
  tolerance: Placed,
  stricter: Placed,
  variants: Placed,
): { readonly narrowed: Placed } | Objection {
  const all = byVariant(tolerance, variants).map(limitsOf);
  const known = all.filter((one) => one !== undefined);
  const [first] = known;
  if (first === undefined || known.length < all.length || (known.length > 1 && first.nominal !== undefined))
    return {
      code: 'overlay-weakens',
      at: inside(stricter, 'tolerance'),
      message: 'The limits of the pack are not constant, so nothing says that these lie inside them.',
      remedy: 'Only limits that the pack writes out, or states for each variant, can be made stricter.',
    };
  const after: { low?: Limit; high?: Limit } = {};
  for (const side of sides) {
    const place = writtenAt(stricter, side);
    if (place === undefined) continue;
    const limit = readLimit(place, (first.low ?? first.high)?.quantity);
    if ('code' in limit) return limit;
    for (const before of known) {
      const objection = notInside(side, limit, before);
      if (objection !== undefined) return objection;
    }
    after[side] = limit;
  }
  const at = after.high?.placed ?? after.low?.placed;
  const packHas = [...new Set(known.map(inWords))].join(' or ');
  if (
    known.every((before) => sides.every((side) => !after[side] || compared(after[side], before[side]) === 0))
  )
    return {
      code: 'overlay-weakens',
      at,
      message: `These limits are no stricter: the pack has ${packHas}.`,
      remedy: 'Write limits inside them, or leave this out.',
    };
  for (const before of known) {
    const low = after.low ?? before.low;
    const high = after.high ?? before.high;
    if (low !== undefined && high !== undefined && low.quantity.value.compare(high.quantity.value) > 0)
      return {
        code: 'reversed-pair',
        at,
        message: `No value is at least ${low.says} and at most ${high.says}.`,
        remedy: 'Write the lower limit first, and both inside those of the pack.',
      };
  }
  return first.nominal === undefined
    ? { narrowed: withLimits(tolerance, stricter, after, packHas) }
    : aroundNominal(tolerance, stricter, after, first.nominal, packHas);
}

const FACT = /^variant\.([a-z0-9-]+)$/;

/** A tolerance as it is for each variant, where its limits are facts of the variant; otherwise as it is. */
function byVariant(tolerance: Placed, variants: Placed): readonly Placed[] {
  const texts = limitKeys.flatMap((key) => itemsOf(inside(tolerance, key)).map(textOf));
  const facts = texts.flatMap((text) => FACT.exec(text)?.[1] ?? []);
  if (facts.length === 0) return [tolerance];
  return namesOf(variants).flatMap((name) => {
    const variant = inside(variants, name);
    const stated = variant && inside(variant, 'facts');
    if (stated === undefined || !facts.every((fact) => inside(stated, fact) !== undefined)) return [];
    const meant = (written: Placed): Placed =>
      inside(stated, FACT.exec(textOf(written))?.[1] ?? '') ?? written;
    return limitKeys.reduce((made, key) => {
      const written = inside(tolerance, key);
      if (written === undefined) return made;
      const items = itemsOf(written).map(meant);
      return withKey(made, key, key === 'between' ? listOf(items, written.spot) : (items[0] ?? written));
    }, tolerance);
  });
}

/** A limit as it is written, with its quantity. */
interface Limit {
  readonly quantity: Quantity;
  readonly placed: Placed;
  readonly says: string;
}

interface Limits {
  readonly low?: Limit;
  readonly high?: Limit;
  /** What is aimed at, where the limits are written as deviations from it. */
  readonly nominal?: Limit;
}

const pick = ({ low, high }: { readonly low: Limit | undefined; readonly high: Limit | undefined }) => ({
  ...(low === undefined ? {} : { low }),
  ...(high === undefined ? {} : { high }),
});

function writtenAt(stricter: Placed, side: Side): Placed | undefined {
  const [low, high] = itemsOf(inside(stricter, 'between'));
  return side === 'low' ? (low ?? inside(stricter, 'at-least')) : (high ?? inside(stricter, 'at-most'));
}

/** Reads a limit that is of the kind of another one. Of a bare number it is not known here whether it is a count or a ratio. */
function readLimit(placed: Placed, like: Quantity | undefined, kind = like?.kind): Limit | Objection {
  const read = parseStatement(textOf(placed), kind);
  if ('second' in read && read.agreement.agreement === 'disagrees') {
    const { original, second, agreement } = read;
    return {
      code: 'dual-disagrees',
      at: placed,
      message: describeDisagreement(original, second, agreement),
      remedy: agreementRemedy(original, second, agreement),
    };
  }
  if ('original' in read) return { quantity: read.original, placed, says: writeQuantity(read.original) };
  if (kind === 'count') return readLimit(placed, like, 'ratio');
  const symbol = like?.unit.symbol ?? '';
  return {
    code: 'bad-quantity',
    at: placed,
    message: describeQuantityFault(read.fault),
    remedy: symbol === '' ? 'Write a number, as the pack does.' : `Write it as the pack does, in ${symbol}.`,
  };
}

/** The limits of a tolerance; undefined where one of them is no constant. */
function limitsOf(tolerance: Placed): Limits | undefined {
  const of = (placed: Placed | undefined, kind?: Kind): Limit | undefined => {
    const read = placed === undefined ? undefined : readLimit(placed, undefined, kind);
    return read === undefined || 'code' in read ? undefined : read;
  };
  const [first, second] = itemsOf(inside(tolerance, 'between'));
  if (first !== undefined) {
    const [low, high] = [of(first), of(second)];
    return low && high && { low, high };
  }
  const nominal = of(inside(tolerance, 'nominal'));
  if (inside(tolerance, 'nominal') === undefined) {
    const limits = pick({ low: of(inside(tolerance, 'at-least')), high: of(inside(tolerance, 'at-most')) });
    return limits.low === undefined && limits.high === undefined ? undefined : limits;
  }
  if (nominal === undefined) return undefined;
  const span = spanKind(nominal.quantity.kind);
  const plus = of(inside(tolerance, 'deviation') ?? inside(tolerance, 'plus'), span);
  const minus = of(inside(tolerance, 'deviation') ?? inside(tolerance, 'minus'), span);
  if (plus === undefined || minus === undefined) return undefined;
  const moved = (by: Rational): Limit => {
    const { unit } = nominal.quantity;
    const quantity = { ...nominal.quantity, value: nominal.quantity.value.plus(by) };
    const decimals = Math.max(nominal.quantity.decimals, plus.quantity.decimals, minus.quantity.decimals);
    return { quantity, placed: nominal.placed, says: writeAmount(quantity, unit, decimals) };
  };
  return {
    nominal,
    low: moved(Rational.zero.minus(minus.quantity.value)),
    high: moved(plus.quantity.value),
  };
}

const compared = (one: Limit, other: Limit | undefined): number | undefined =>
  other === undefined ? undefined : one.quantity.value.compare(other.quantity.value);

const inWords = ({ low, high }: Limits): string =>
  low !== undefined && high !== undefined
    ? `${low.says} to ${high.says}`
    : low !== undefined
      ? `at least ${low.says}`
      : `at most ${high?.says ?? ''}`;

/** Why a limit does not lie inside those of the pack; on a side where the pack has none, every limit is stricter. */
function notInside(side: Side, limit: Limit, before: Limits): Objection | undefined {
  const sign = side === 'low' ? 1 : -1;
  for (const [against, name] of [
    [before[side], side === 'low' ? 'lower' : 'upper'],
    [before[side === 'low' ? 'high' : 'low'], ''],
  ] as const) {
    const order = compared(limit, against);
    if (order === undefined || (name === '' ? order * sign <= 0 : order * sign >= 0)) continue;
    return {
      code: 'overlay-weakens',
      at: limit.placed,
      message: `${limit.says} is no stricter ${side === 'low' ? 'lower' : 'upper'} limit: the pack has ${inWords(before)}.`,
      remedy: 'An overlay only narrows limits. What has to be wider needs a new revision of the pack.',
    };
  }
  return undefined;
}

/** The tolerance with other limits, and with a source that says both. What stays is written as the pack has it. */
function withLimits(
  tolerance: Placed,
  stricter: Placed,
  after: { readonly low?: Limit; readonly high?: Limit },
  packHas: string,
): Placed {
  const low = after.low?.placed ?? writtenAt(tolerance, 'low');
  const high = after.high?.placed ?? writtenAt(tolerance, 'high');
  const narrowed = withSource(withoutKeys(tolerance, limitKeys), tolerance, stricter, packHas);
  if (low !== undefined && high !== undefined)
    return withKey(narrowed, 'between', listOf([low, high], stricter.spot));
  if (low !== undefined) return withKey(narrowed, 'at-least', low);
  return high === undefined ? narrowed : withKey(narrowed, 'at-most', high);
}

const MOST_IN_A_TEXT = 2000;

function withSource(narrowed: Placed, tolerance: Placed, stricter: Placed, packHas: string): Placed {
  const own = inside(stricter, 'source');
  if (own === undefined) return narrowed;
  const both = `${textOf(own)}; the pack has ${packHas}: ${textOf(inside(tolerance, 'source'))}`;
  return withKey(narrowed, 'source', both.length > MOST_IN_A_TEXT ? own : { ...own, value: both });
}

/** Limits around what is aimed at, which stays: a choice from stock comes as near to it as it can. */
function aroundNominal(
  tolerance: Placed,
  stricter: Placed,
  after: { readonly low?: Limit; readonly high?: Limit },
  nominal: Limit,
  packHas: string,
): { readonly narrowed: Placed } | Objection {
  let narrowed = withSource(
    withoutKeys(
      tolerance,
      limitKeys.filter((key) => key !== 'nominal'),
    ),
    tolerance,
    stricter,
    packHas,
  );
  for (const [side, key] of [
    ['high', 'plus'],
    ['low', 'minus'],
  ] as const) {
    const limit = after[side];
    const own = inside(tolerance, 'deviation') ?? inside(tolerance, key);
    if (limit === undefined) {
      if (own !== undefined) narrowed = withKey(narrowed, key, own);
      continue;
    }
    const by = limit.quantity.value.minus(nominal.quantity.value);
    const value = side === 'high' ? by : Rational.zero.minus(by);
    if (value.sign < 0)
      return {
        code: 'overlay-weakens',
        at: limit.placed,
        message: `What the pack aims at, ${nominal.says}, lies outside of ${limit.says}.`,
        remedy: 'Write limits around it, or ask for a new revision of the pack.',
      };
    const text = exactly(value, [limit.quantity.unit, nominal.quantity.unit]);
    if (text === undefined)
      return {
        code: 'overlay-weakens',
        at: limit.placed,
        message: `${limit.says} cannot be written exactly as a deviation from ${nominal.says}.`,
        remedy: `Write it in ${nominal.quantity.unit.symbol}.`,
      };
    narrowed = withKey(narrowed, key, { value: text, spot: limit.placed.spot });
  }
  return { narrowed };
}

const MOST_DECIMALS = 12;

/** A difference in the first of these units in which it has an end, since rounding might widen a limit. */
function exactly(value: Rational, among: readonly Unit[]): string | undefined {
  for (const { offset, kind, symbol, ...unit } of among) {
    const bare = {
      ...unit,
      kind: spanKind(kind),
      symbol: offset === undefined ? symbol : spanSymbol(symbol),
    };
    const exact = valueIn({ kind: bare.kind, value }, bare);
    for (let decimals = 0; decimals <= MOST_DECIMALS; decimals++) {
      const text = exact.toDecimal(decimals);
      if (Rational.parse(text)?.equals(exact) === true) return writeQuantity({ digits: text, unit: bare });
    }
  }
  return undefined;
}

/** The unit of a difference of temperatures. */
const spanSymbol = (symbol: string): string => (symbol === '°F' ? 'Δ°F' : 'K');
