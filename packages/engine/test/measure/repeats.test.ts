import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { summarise } from '../../src/measure/repeats.ts';
import { Rational } from '../../src/quantity/index.ts';

const read = (text: string): Rational => {
  const value = Rational.parse(text);
  if (value === undefined) throw new Error(text);
  return value;
};
const plain = (texts: readonly string[]): unknown =>
  JSON.parse(JSON.stringify(summarise(texts.map(read)) ?? null));

describe('readings summarised', () => {
  it('have a mean, a spread and variances, exactly', () => {
    expect(plain(['19.18', '19.20', '19.17', '19.21'])).toEqual({
      n: 4,
      mean: '1919/100',
      lowest: '1917/100',
      highest: '1921/100',
      spread: '1/25',
      degreesOfFreedom: 3,
      variance: '1/3000',
      varianceOfMean: '1/12000',
    });
  });

  it('have no variance when there is one, and are nothing when there are none', () => {
    expect(plain(['0.20'])).toEqual({
      n: 1,
      mean: '1/5',
      lowest: '1/5',
      highest: '1/5',
      spread: '0',
      degreesOfFreedom: 0,
    });
    expect(plain([])).toBeNull();
  });

  it('that are equal have no variance to speak of', () => {
    expect(summarise([read('7.7'), read('7.7')])?.variance?.sign).toBe(0);
  });

  const value = fc
    .tuple(fc.bigInt(-(10n ** 12n), 10n ** 12n), fc.integer({ min: 0, max: 6 }))
    .map(([n, places]) => Rational.of(n, 10n ** BigInt(places)));

  it('vary as the sum of squares about the mean says, wherever they lie', () => {
    fc.assert(
      fc.property(fc.array(value, { minLength: 2, maxLength: 12 }), value, (values, moved) => {
        const found = summarise(values);
        const mean = values.reduce((a, b) => a.plus(b)).over(Rational.of(values.length));
        const squares = values.map((one) => one.minus(mean).times(one.minus(mean)));
        const variance = squares.reduce((a, b) => a.plus(b)).over(Rational.of(values.length - 1));
        expect(found?.mean.equals(mean)).toBe(true);
        expect(found?.variance?.equals(variance)).toBe(true);
        expect(found?.varianceOfMean?.times(Rational.of(values.length)).equals(variance)).toBe(true);
        const elsewhere = summarise([...values].reverse().map((one) => one.plus(moved)));
        expect(elsewhere?.variance?.equals(variance)).toBe(true);
        expect(elsewhere?.mean.equals(mean.plus(moved))).toBe(true);
        expect(elsewhere?.spread.equals(found?.spread ?? Rational.one)).toBe(true);
        expect(found?.highest.minus(found.lowest).equals(found.spread)).toBe(true);
        for (const one of values) {
          expect(one.compare(found?.lowest ?? mean)).not.toBe(-1);
          expect(one.compare(found?.highest ?? mean)).not.toBe(1);
        }
      }),
      { numRuns: 300 },
    );
  });
});
