import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Rational, type Rounding } from '../../src/quantity/index.ts';

const read = (text: string): Rational => {
  const value = Rational.parse(text);
  if (value === undefined) throw new Error(text);
  return value;
};

describe('reading and writing', () => {
  it.each([
    ['0', '0'],
    ['-0', '0'],
    ['-0.200', '-1/5'],
    ['+3', '3'],
    ['.827', '827/1000'],
    ['5/9', '5/9'],
    ['-160/9', '-160/9'],
    ['1000/60', '50/3'],
    ['0.5/0.25', '2'],
    ['1.3558179483314004', '3389544870828501/2500000000000000'],
    ['123456789012345678901234567890.5', '246913578024691357802469135781/2'],
  ])('%s is %s', (text, fraction) => {
    expect(read(text).toFraction()).toBe(fraction);
    expect(read(fraction).equals(read(text))).toBe(true);
    expect(JSON.stringify(read(text))).toBe(`"${fraction}"`);
  });

  it.each(['', '.', '-', '1.', '1,5', '1e3', '0x1', 'NaN', 'Infinity', ' 1', '1/0', '1/', '1/2/3', '١'])(
    '"%s" is no number',
    (text) => {
      expect(Rational.parse(text)).toBeUndefined();
    },
  );

  it('refuses parts that are no integers', () => {
    expect(() => Rational.of(0.5)).toThrow(RangeError);
    expect(() => Rational.of(2 ** 53)).toThrow(RangeError);
    expect(() => Rational.of(1, 0)).toThrow(RangeError);
    expect(() => Rational.one.over(Rational.zero)).toThrow(RangeError);
  });

  it.each<[string, number, Rounding, string]>([
    ['0.125', 2, 'half-away', '0.13'],
    ['-0.125', 2, 'half-away', '-0.13'],
    ['0.125', 2, 'half-even', '0.12'],
    ['0.135', 2, 'half-even', '0.14'],
    ['0.1249', 2, 'half-away', '0.12'],
    ['1/3', 4, 'up', '0.3334'],
    ['-1/3', 4, 'up', '-0.3333'],
    ['1/3', 4, 'down', '0.3333'],
    ['-1/3', 4, 'down', '-0.3334'],
    ['-0.001', 2, 'half-away', '0.00'],
    ['9.995', 2, 'half-away', '10.00'],
    ['19.2', 0, 'half-away', '19'],
    ['5', 3, 'up', '5.000'],
  ])('%s to %i decimals, %s, is %s', (text, places, rounding, expected) => {
    expect(read(text).toDecimal(places, rounding)).toBe(expected);
  });

  it('gives a double for drawing, however large the parts', () => {
    expect(read('0.756').toNumber()).toBe(0.756);
    const huge = 10n ** 400n;
    expect(Rational.of(huge * 3n + 1n, huge * 2n).toNumber()).toBeCloseTo(1.5, 12);
  });
});

/** A fraction as two big integers, never reduced: the arithmetic that the class is held to. */
type Pair = readonly [bigint, bigint];
const edge = 9007199254740991n;
const part = fc.oneof(
  fc.bigInt(-1000n, 1000n),
  fc.bigInt(-edge, edge),
  fc.constantFrom(edge, -edge, edge + 1n, edge - 1n, 94906265n, 94906266n, 94906267n, 10n ** 6n, 0n, 1n),
  fc.bigInt(-(10n ** 40n), 10n ** 40n),
);
const pair: fc.Arbitrary<Pair> = fc.tuple(
  part,
  part.map((d) => (d < 0n ? -d : d === 0n ? 1n : d)),
);
const decimalPair: fc.Arbitrary<Pair> = fc.tuple(
  fc.bigInt(-(10n ** 12n), 10n ** 12n),
  fc.integer({ min: 0, max: 9 }).map((places) => 10n ** BigInt(places)),
);
const either = fc.oneof(pair, decimalPair);
const make = ([n, d]: Pair): Rational => Rational.of(n, d);
const is = (value: Rational, [n, d]: Pair): void => {
  const [top = '', bottom = '1'] = value.toFraction().split('/');
  expect(BigInt(top) * d).toBe(n * BigInt(bottom));
  expect(BigInt(bottom) > 0n).toBe(true);
};
/** As read from text: not in lowest terms. */
const written = (value: Rational, [, d]: Pair): Rational =>
  /^10*$/.test(String(d)) ? read(value.toDecimal(String(d).length - 1)) : value;

describe('arithmetic against big integers, around the edge of the safe integers as well', () => {
  it('adds, subtracts, multiplies, divides, compares', () => {
    fc.assert(
      fc.property(either, either, (p, q) => {
        const [a, b] = [written(make(p), p), written(make(q), q)];
        const [[n, d], [m, e]] = [p, q];
        is(a.plus(b), [n * e + m * d, d * e]);
        is(a.minus(b), [n * e - m * d, d * e]);
        is(a.times(b), [n * m, d * e]);
        if (m !== 0n) is(a.over(b), m < 0n ? [-n * e, d * -m] : [n * e, d * m]);
        const across = n * e - m * d;
        expect(a.compare(b)).toBe(across > 0n ? 1 : across < 0n ? -1 : 0);
        expect(a.equals(b)).toBe(across === 0n);
        expect(a.plus(b).minus(b).equals(a)).toBe(true);
        is(a.negated(), [-n, d]);
        expect(a.abs().sign).toBe(n === 0n ? 0 : 1);
      }),
      { numRuns: 3000 },
    );
  });

  it('adds over one denominator', () => {
    const [a, b] = [Rational.of(edge, 7n), Rational.of(edge - 3n, 7n)];
    is(a.plus(b), [2n * edge - 3n, 7n]);
    is(a.negated().minus(b), [3n - 2n * edge, 7n]);
  });

  it('has a floor and a remainder that is never negative', () => {
    fc.assert(
      fc.property(either, either, (p, q) => {
        const [a, b] = [make(p), make(q).abs().plus(Rational.of(1, 7))];
        const whole = a.floor();
        expect(whole.toFraction()).toMatch(/^-?\d+$/);
        expect(a.minus(whole).compare(Rational.zero)).not.toBe(-1);
        expect(a.minus(whole).compare(Rational.one)).toBe(-1);
        const rest = a.mod(b);
        expect(rest.sign).not.toBe(-1);
        expect(rest.compare(b)).toBe(-1);
        expect(a.minus(rest).over(b).toFraction()).toMatch(/^-?\d+$/);
      }),
      { numRuns: 1000 },
    );
    expect(read('-90').mod(read('720')).toFraction()).toBe('630');
  });

  it('rounds to the nearest decimal', () => {
    fc.assert(
      fc.property(either, fc.integer({ min: 0, max: 8 }), (p, places) => {
        const a = make(p);
        const place = Rational.of(1n, 10n ** BigInt(places));
        const off = read(a.toDecimal(places)).minus(a).abs();
        expect(off.compare(place.times(Rational.of(1, 2)))).not.toBe(1);
        expect(read(a.toDecimal(places, 'up')).compare(a)).not.toBe(-1);
        expect(read(a.toDecimal(places, 'down')).compare(a)).not.toBe(1);
        expect(read(a.toDecimal(places, 'up')).minus(a).compare(place)).toBe(-1);
      }),
      { numRuns: 1000 },
    );
  });
});
