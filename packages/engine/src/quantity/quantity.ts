import type { QuantityFault } from './fault.ts';
import type { Kind } from './kind.ts';
import { Rational, type Rounding } from './rational.ts';
import { baseUnit, findUnit, nearUnits, type Unit, unitsOf } from './units.ts';

/** A kind and an exact value in the base unit of that kind. */
export interface Amount {
  readonly kind: Kind;
  readonly value: Rational;
}

/** An amount as somebody wrote it. */
export interface Quantity extends Amount {
  readonly unit: Unit;
  /** The digits as written; the minus is `-`, the decimal sign `.`, and a digit stands before it. */
  readonly digits: string;
  /** How many of the digits stand after the point. */
  readonly decimals: number;
}

export type QuantityResult = { readonly quantity: Quantity } | { readonly fault: QuantityFault };

/** How a number may be written where it is read. */
interface Manner {
  /** A decimal comma, in the places where it cannot be a thousands mark. */
  readonly comma: boolean;
  /** `.827` for `0.827`. */
  readonly leadingPoint: boolean;
  /** The unit of a number that has none. */
  readonly unit?: Unit;
}

const longest = 64;
const shape = /^([+-]?)([.,]?\d(?:[\d.,'’ ]*\d)?[.,]?)\s*(.*)$/;
const vulgarFraction = /[\u00BC-\u00BE\u2044\u2150-\u215E\u2189]/;

/** Full-width forms, every minus and every space to their ASCII ones; invisible characters go. */
function foldText(text: string): string {
  return text
    .replace(/[\u00AD\u200B\u200E\u200F\u2060\uFEFF]/g, '')
    .replace(/[\uFF01-\uFF5E]/g, (wide) => String.fromCharCode(wide.charCodeAt(0) - 0xfee0))
    .replace(/^(\s*)[\u2010-\u2013\u2212\u207B\uFE63]/, '$1-')
    .replace(/\s+/g, ' ')
    .trim();
}

const withoutZeros = (digits: string): string => digits.replace(/^0+(?=\d)/, '');

/** The digits of a number with a point and no needless marks, or why they are not taken. */
function readDigits(sign: string, written: string, manner: Manner): string | QuantityFault {
  const found = `${sign}${written}`;
  const minus = sign === '-' ? '-' : '';
  const marks = written.replace(/\d/g, '');
  if (marks.length > 1 || /[ '’]/.test(marks)) {
    // The last of two different marks may be the decimal one; the marks before it can only be grouping.
    const last = marks.at(-1) ?? '';
    const isDecimal = marks.length > 1 && /[.,]/.test(last) && marks.indexOf(last) === marks.length - 1;
    const cut = isDecimal ? written.lastIndexOf(last) : written.length;
    const whole = written.slice(0, cut);
    const grouped = /^[1-9]\d{0,2}(?:[., '’]\d{3})+$/.test(whole);
    const fraction = written.slice(cut + 1);
    const reading = `${minus}${whole.replace(/\D/g, '')}${fraction === '' ? '' : `.${fraction}`}`;
    return { code: 'doubtful-number', found, readings: grouped ? [reading] : [] };
  }
  const [whole = '', fraction] = written.split(/[.,]/);
  const pointed = `${minus}${withoutZeros(whole) || '0'}${fraction ? `.${fraction}` : ''}`;
  if (fraction === '' || (whole === '' && !manner.leadingPoint))
    return { code: 'bare-point', found, instead: pointed };
  if (whole.length > 1 && whole.startsWith('0')) return { code: 'leading-zeros', found, instead: pointed };
  if (marks === ',') {
    if (fraction?.length === 3 && /^[1-9]\d{0,2}$/.test(whole)) {
      return { code: 'doubtful-number', found, readings: [pointed, `${minus}${whole}${fraction}`] };
    }
    if (!manner.comma) return { code: 'decimal-comma', found, instead: pointed };
  }
  return pointed;
}

function fraction(found: string): QuantityFault {
  const [, whole = '0', above, below, rest = ''] =
    /^\+?(?:(\d{1,6}) )?(\d{1,6}) ?\/ ?(\d{1,6})(?!\d)(.*)$/.exec(found) ?? [];
  if (above === undefined || below === undefined || Number(below) === 0) return { code: 'fraction', found };
  const value = Rational.of(Number(above), Number(below)).plus(Rational.of(Number(whole)));
  for (let places = 0; places <= 6; places++) {
    const text = value.toDecimal(places);
    if (Rational.parse(text)?.equals(value)) return { code: 'fraction', found, instead: `${text}${rest}` };
  }
  return { code: 'fraction', found };
}

const suggestedUnits = (kind: Kind): readonly string[] =>
  unitsOf(kind)
    .slice(0, 3)
    .map((unit) => unit.symbol || 'no unit');

/** Reads a number with its unit, in the manner given. */
export function readQuantity(text: string, expected: Kind | undefined, manner: Manner): QuantityResult {
  if (text.length > longest) return { fault: { code: 'too-long', length: text.length, limit: longest } };
  const found = foldText(text);
  if (found === '') return { fault: { code: 'empty' } };
  if (vulgarFraction.test(found)) {
    // `1½` is `1 1/2`.
    const plain = found
      .replace(/\u2044/g, '/')
      .replace(vulgarFraction, (mark) => ` ${mark.normalize('NFKC').replace('\u2044', '/')}`);
    return { fault: fraction(plain.trim()) };
  }
  const [, sign, written, rest] = shape.exec(found) ?? [];
  if (sign === undefined || written === undefined || rest === undefined)
    return { fault: { code: 'not-a-number', found } };
  if (/^\/ ?\d/.test(rest)) return { fault: fraction(found) };
  if (/^e[+-]?\d/i.test(rest) || /^[×x*·] ?10(?:\D|$)/.test(rest))
    return { fault: { code: 'exponent', found } };
  if (written === '0' && /^0(?:x[\da-f]|o[0-7]|b[01])/i.test(found.slice(sign.length))) {
    return { fault: { code: 'not-a-number', found } };
  }
  const digits = readDigits(sign, written, manner);
  if (typeof digits !== 'string') return { fault: digits };
  const decimals = digits.includes('.') ? digits.length - digits.indexOf('.') - 1 : 0;

  const unit = rest === '' ? unitOfBareNumber(expected, manner, decimals) : findUnit(rest, expected);
  if (unit === undefined) {
    if (rest === '') {
      const units = expected === undefined ? [] : suggestedUnits(expected);
      return {
        fault: { code: 'missing-unit', found, ...(expected === undefined ? {} : { expected }), units },
      };
    }
    if (/^m?rad$|^radians?$/.test(rest))
      return { fault: { code: 'inexact-unit', found: rest, instead: '°' } };
    return { fault: { code: 'unknown-unit', found: rest, suggestions: nearUnits(rest, expected) } };
  }
  if (expected !== undefined && unit.kind !== expected) {
    return {
      fault: {
        code: 'wrong-kind',
        found: unit.kind,
        unit: unit.symbol,
        expected,
        units: suggestedUnits(expected),
      },
    };
  }
  if ((unit.kind === 'count' || unit.kind === 'strokes') && decimals > 0)
    return { fault: { code: 'not-whole', found } };
  return { quantity: quantityOf(digits, decimals, unit) };
}

function unitOfBareNumber(expected: Kind | undefined, manner: Manner, decimals: number): Unit | undefined {
  if (manner.unit !== undefined) return manner.unit;
  if (expected === undefined) return baseUnit(decimals === 0 ? 'count' : 'ratio');
  return expected === 'count' || expected === 'ratio' ? baseUnit(expected) : undefined;
}

function quantityOf(digits: string, decimals: number, unit: Unit): Quantity {
  const number = Rational.parse(digits);
  if (number === undefined) throw new Error(`not a decimal number: ${digits}`);
  const scaled = number.times(unit.factor);
  const value = unit.offset === undefined ? scaled : scaled.plus(unit.offset);
  return { kind: unit.kind, value, unit, digits, decimals };
}

/**
 * Reads a value as a pack states it: a decimal point, no grouping, and a unit (a count or a ratio may have none; without
 * `expected`, a bare whole number is a count and any other bare number a ratio).
 */
export function parseQuantity(text: string, expected?: Kind): QuantityResult {
  return readQuantity(text, expected, { comma: false, leadingPoint: false });
}

/**
 * Reads what a person typed or pasted at a reading. Without a unit, `unit` is taken. A decimal comma is taken where it
 * cannot be a thousands mark (`0,031`, `12,5`); whatever is in doubt is refused with the readings it could have.
 */
export function readEntry(
  text: string,
  reading: { readonly kind: Kind; readonly unit: Unit },
): QuantityResult {
  return readQuantity(text, reading.kind, { comma: true, leadingPoint: true, unit: reading.unit });
}

/** A quantity from digits and a unit as they are stored: what `parseQuantity` or `readEntry` took once, however long. */
export function storedQuantity(
  digits: string,
  unitText: string,
  kind: Kind | undefined,
): Quantity | undefined {
  const unit = unitText === '' ? baseUnit(kind ?? 'count') : findUnit(unitText, kind);
  if (unit === undefined || (kind !== undefined && unit.kind !== kind) || !/^-?\d+(?:\.\d+)?$/.test(digits))
    return undefined;
  return quantityOf(digits, digits.split('.')[1]?.length ?? 0, unit);
}

/** The exact number of an amount in a unit of its kind. Throws a RangeError when the kinds differ. */
export function valueIn(amount: Amount, unit: Unit): Rational {
  if (amount.kind !== unit.kind) throw new RangeError(`a ${amount.kind} has no value in ${unit.symbol}`);
  const moved = unit.offset === undefined ? amount.value : amount.value.minus(unit.offset);
  return moved.over(unit.factor);
}

/** The amount in `unit`, rounded to `decimals`. Throws a RangeError when the kinds differ. */
export function convert(
  amount: Amount,
  unit: Unit,
  decimals: number,
  rounding: Rounding = 'half-away',
): Quantity {
  return quantityOf(valueIn(amount, unit).toDecimal(decimals, rounding), decimals, unit);
}

/** A quantity as text in its own digits and unit: `19.20 mm`, `360°` (SP 811, 7.2: no space before ° alone). */
export function writeQuantity(quantity: Pick<Quantity, 'digits' | 'unit'>): string {
  const { symbol } = quantity.unit;
  return `${quantity.digits}${symbol === '' || symbol === '°' ? '' : ' '}${symbol}`;
}

/** An amount as text in `unit`, rounded to `decimals`. */
export function writeAmount(amount: Amount, unit: Unit, decimals: number, rounding?: Rounding): string {
  return writeQuantity(convert(amount, unit, decimals, rounding));
}
