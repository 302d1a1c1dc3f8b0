import type { QuantityFault } from './fault.ts';
import type { Kind } from './kind.ts';
import { convert, type Quantity, readQuantity, valueIn } from './quantity.ts';
import { Rational } from './rational.ts';
import { type Unit, unitsOf } from './units.ts';

/** Whether the second value of a dual statement says the same as the first, and if not, what went wrong. */
export type Agreement =
  | { readonly agreement: 'agrees' }
  | {
      readonly agreement: 'disagrees';
      /**
       * as-temperature: a temperature difference was converted like a temperature (5 K is no 41 °F); as-difference: the
       * other way about. converted-first: the first is the second converted and rounded, so they changed places.
       */
      readonly reason: 'misplaced-decimal' | 'off' | 'as-temperature' | 'as-difference' | 'converted-first';
      /** The original in the unit and to the last place of the second; if they changed places, the second as it is. */
      readonly shouldRead: Quantity;
    }
  | {
      readonly agreement: 'disagrees';
      readonly reason: 'wrong-unit';
      /** The second's own digits with the unit that makes them right. */
      readonly shouldRead: Quantity;
    }
  | {
      readonly agreement: 'disagrees';
      readonly reason: 'wrong-kind';
      readonly found: Kind;
      readonly expected: Kind;
    };

/** As {@link Agreement}, for two pairs. A fault in one end says which; reversed means that one pair runs backwards. */
export type RangeAgreement =
  | { readonly agreement: 'agrees' }
  | {
      readonly agreement: 'disagrees';
      readonly reason: 'reversed';
      /** The pair that runs downwards. */
      readonly descending: 'original' | 'second';
    }
  | (Extract<Agreement, { agreement: 'disagrees' }> & { readonly end: 'from' | 'to' });

export type Pair = readonly [from: Quantity, to: Quantity];

export type Statement =
  | { readonly original: Quantity }
  | { readonly original: Quantity; readonly second: Quantity; readonly agreement: Agreement }
  | { readonly fault: QuantityFault };

export type RangeStatement =
  | { readonly original: Pair }
  | { readonly original: Pair; readonly second: Pair; readonly agreement: RangeAgreement }
  | { readonly fault: QuantityFault };

const ten = Rational.of(10);
const half = Rational.of(1, 2);

const power = (exponent: number): Rational =>
  exponent < 0 ? Rational.one.over(power(-exponent)) : Rational.of(10n ** BigInt(exponent));

const numberOf = (quantity: Quantity): Rational => valueIn(quantity, quantity.unit);

/** Whether `exact` rounds to `stated` at a place, either way at a tie. */
const roundsTo = (exact: Rational, stated: Rational, place: Rational): boolean =>
  exact.minus(stated).abs().compare(place.times(half)) <= 0;

/**
 * The places to which the second may have been rounded: its last digit, and for a whole number that ends in zeros (210 bar
 * is printed as 3050 psi) also the places of those zeros, but no coarser than the last digit of the original.
 */
function placesOf(second: Quantity, original: Quantity, unit: Unit): readonly Rational[] {
  const places = [power(-second.decimals)];
  if (second.decimals > 0) return places;
  const limit = original.unit.factor.over(unit.factor).times(power(-original.decimals));
  let place = Rational.one;
  for (const digit of [...second.digits.slice(1)].reverse()) {
    place = place.times(ten);
    if (digit !== '0' || place.compare(limit) > 0) break;
    places.push(place);
  }
  return places;
}

function agreesIn(unit: Unit, original: Quantity, second: Quantity): boolean {
  const exact = valueIn(original, unit);
  const stated = numberOf(second);
  return placesOf(second, original, unit).some((place) => roundsTo(exact, stated, place));
}

function isPowerOfTen(value: Rational): boolean {
  return [-9, -8, -7, -6, -5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9].some((k) =>
    value.equals(power(k)),
  );
}

/** By how many places the point of the second would have to move to the right for it to agree. */
function misplacedBy(original: Quantity, second: Quantity): number | undefined {
  const exact = valueIn(original, second.unit);
  const stated = numberOf(second);
  if (stated.sign === 0) return undefined;
  return [1, -1, 2, -2, 3, -3].find((k) =>
    roundsTo(exact, stated.times(power(k)), power(k - second.decimals)),
  );
}

/** A unit of the customary system: UCUM writes these in square brackets, which it also puts around mercury and water. */
const isCustomary = (unit: Unit): boolean => /\[(?!Hg|H2O)/.test(unit.ucum) || unit.symbol === 'Δ°F';

const isThermal = (kind: Kind): boolean => kind === 'temperature' || kind === 'temperature-difference';

/** The unit of the other of the two thermal kinds with the same degree: °F for Δ°F. */
const withSameDegree = (unit: Unit, kind: Kind): Unit | undefined =>
  unitsOf(kind).find((one) => one.factor.equals(unit.factor));

/** Whether a temperature difference was converted as if it were a temperature, or the other way about. */
function judgeThermal(original: Quantity, second: Quantity): Agreement | undefined {
  if (!isThermal(original.kind) || !isThermal(second.kind)) return undefined;
  // With degrees of one size there is nothing that could have been converted wrongly.
  if (original.unit.factor.equals(second.unit.factor)) return undefined;
  const mistaken: Kind = original.kind === 'temperature' ? 'temperature-difference' : 'temperature';
  const from = withSameDegree(original.unit, mistaken);
  const to = withSameDegree(second.unit, mistaken);
  const right = withSameDegree(second.unit, original.kind);
  if (from === undefined || to === undefined || right === undefined) return undefined;
  const value = numberOf(original)
    .times(from.factor)
    .plus(from.offset ?? Rational.zero);
  const exact = valueIn({ kind: mistaken, value }, to);
  if (!roundsTo(exact, numberOf(second), power(-second.decimals))) return undefined;
  const reason = mistaken === 'temperature' ? 'as-temperature' : 'as-difference';
  return { agreement: 'disagrees', reason, shouldRead: convert(original, right, second.decimals) };
}

/**
 * Judges the second value against the original: it must equal the original converted and rounded to its own digits, and
 * at an exact tie either neighbour will do. A disagreement is explained where it can be: the digits would be right in
 * another unit, or with the decimal point elsewhere.
 */
export function judgeDual(original: Quantity, second: Quantity): Agreement {
  const others = unitsOf(original.kind).filter((unit) => unit.symbol !== second.unit.symbol);
  const withUnit = (candidates: readonly Unit[]): Agreement | undefined => {
    // A zero would be right in every unit that is large enough: it points at none.
    if (numberOf(second).sign === 0) return undefined;
    // The original's own unit explains a number that was merely repeated: the last thing to think of.
    const ordered = [...candidates].sort((a, b) => Number(a === original.unit) - Number(b === original.unit));
    const unit = ordered.find((one) => agreesIn(one, original, second));
    if (unit === undefined) return undefined;
    const value = numberOf(second)
      .times(unit.factor)
      .plus(unit.offset ?? Rational.zero);
    return {
      agreement: 'disagrees',
      reason: 'wrong-unit',
      shouldRead: { ...second, kind: unit.kind, unit, value },
    };
  };

  const isSame = second.kind === original.kind;
  if (isSame && agreesIn(second.unit, original, second)) return { agreement: 'agrees' };
  const thermal = judgeThermal(original, second);
  if (thermal !== undefined) return thermal;
  if (!isSame) {
    const expected = original.kind;
    return withUnit(others) ?? { agreement: 'disagrees', reason: 'wrong-kind', found: second.kind, expected };
  }
  // Units a power of ten apart (kPa, MPa) explain nothing that a misplaced point does not explain as well.
  const decimalSteps = others.filter((unit) => isPowerOfTen(unit.factor.over(second.unit.factor)));
  const elsewhere = withUnit(others.filter((unit) => !decimalSteps.includes(unit)));
  if (elsewhere !== undefined) return elsewhere;
  const moved = misplacedBy(original, second);
  if (moved !== undefined) {
    const shouldRead = convert(original, second.unit, Math.max(0, second.decimals - moved));
    return { agreement: 'disagrees', reason: 'misplaced-decimal', shouldRead };
  }
  if (isCustomary(original.unit) && !isCustomary(second.unit) && agreesIn(original.unit, second, original)) {
    return { agreement: 'disagrees', reason: 'converted-first', shouldRead: second };
  }
  const shouldRead = convert(original, second.unit, second.decimals);
  return withUnit(decimalSteps) ?? { agreement: 'disagrees', reason: 'off', shouldRead };
}

/** Judges a pair beside a pair, end by end, and knows a pair that is written the other way round. */
export function judgeDualRange(original: Pair, second: Pair): RangeAgreement {
  const [from, to] = original;
  const straight = [judgeDual(from, second[0]), judgeDual(to, second[1])] as const;
  if (straight[0].agreement === 'agrees' && straight[1].agreement === 'agrees') return straight[0];
  const crossed = [judgeDual(from, second[1]), judgeDual(to, second[0])];
  if (crossed.every((one) => one.agreement === 'agrees')) {
    const descending = from.value.compare(to.value) > 0 ? 'original' : 'second';
    return { agreement: 'disagrees', reason: 'reversed', descending };
  }
  return straight[0].agreement === 'disagrees'
    ? { ...straight[0], end: 'from' }
    : straight[1].agreement === 'disagrees'
      ? { ...straight[1], end: 'to' }
      : straight[1];
}

const strict = { comma: false, leadingPoint: false } as const;
const trade = { comma: false, leadingPoint: true } as const;
const longest = 128;

function splitStatement(text: string): readonly [string, string | undefined] | QuantityFault {
  if (text.length > longest) return { code: 'too-long', length: text.length, limit: longest };
  const [, original, second] = /^([^()]*?)\s*(?:\(([^()]*)\))?\s*$/.exec(text.trim()) ?? [];
  if (original === undefined) return { code: 'not-a-statement', found: text };
  return [original, second];
}

/**
 * Reads `21.00 mm` or `21.00 mm (0.827 in)`. The first value is the original; the second is judged against it. In the
 * second, `.827 in` may stand for `0.827 in`. A value that cannot be read gives its fault.
 */
export function parseStatement(text: string, expected?: Kind): Statement {
  const parts = splitStatement(text);
  if ('code' in parts) return { fault: parts };
  const original = readQuantity(parts[0], expected, strict);
  if ('fault' in original) return original;
  if (parts[1] === undefined) return { original: original.quantity };
  const second = readQuantity(parts[1], undefined, trade);
  if ('fault' in second) return second;
  const agreement = judgeDual(original.quantity, second.quantity);
  return { original: original.quantity, second: second.quantity, agreement };
}

function parsePair(
  text: string,
  expected: Kind | undefined,
  manner: typeof strict | typeof trade,
): { readonly pair: Pair } | { readonly fault: QuantityFault } {
  const ends = text.split(/\s+to\s+/);
  const [first = '', last] = ends;
  if (last === undefined || ends.length > 2) return { fault: { code: 'not-a-statement', found: text } };
  const to = readQuantity(last, expected, manner);
  if ('fault' in to) return to;
  // `2 to 4 mm`: the unit is said once.
  const from = readQuantity(first, to.quantity.kind, { ...manner, unit: to.quantity.unit });
  return 'fault' in from ? from : { pair: [from.quantity, to.quantity] };
}

/** Reads `2 to 4 mm` or `2 to 4 mm (.08 to .16 in)`; the second pair is judged against the first. */
export function parseRangeStatement(text: string, expected?: Kind): RangeStatement {
  const parts = splitStatement(text);
  if ('code' in parts) return { fault: parts };
  const original = parsePair(parts[0], expected, strict);
  if ('fault' in original) return original;
  if (parts[1] === undefined) return { original: original.pair };
  const second = parsePair(parts[1], undefined, trade);
  if ('fault' in second) return second;
  return {
    original: original.pair,
    second: second.pair,
    agreement: judgeDualRange(original.pair, second.pair),
  };
}
