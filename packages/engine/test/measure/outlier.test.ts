import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { criticalSquare, outlierOf } from '../../src/measure/outlier.ts';
import { Rational } from '../../src/quantity/index.ts';

const read = (text: string): Rational => {
  const value = Rational.parse(text);
  if (value === undefined) throw new Error(text);
  return value;
};
const outlier = (...texts: readonly string[]): number | undefined => outlierOf(texts.map(read));

describe("Grubbs' test for one value", () => {
  it.each<[string, readonly string[], number | undefined]>([
    ['one too high', ['19.18', '19.19', '19.18', '19.20', '19.19', '19.41'], 5],
    ['one too low', ['19.18', '18.97', '19.18', '19.20', '19.19', '19.19'], 1],
    ['an even scatter', ['19.18', '19.19', '19.17', '19.20', '19.16', '19.21'], undefined],
    ['equal values', ['5', '5', '5', '5'], undefined],
    ['two values', ['5', '9'], undefined],
    ['one value', ['5'], undefined],
    ['no value', [], undefined],
    ['three, two of them equal', ['5', '5', '5.1'], 2],
    ['three, two of them nearly equal', ['5', '5.01', '5.1'], undefined],
    ['one far off on each side', ['4', '6', ...Array<string>(20).fill('5')], undefined],
  ])('%s', (_, values, place) => {
    expect(outlier(...values)).toBe(place);
  });

  it('decides by G² against a critical value held to a millionth', () => {
    // Four values 0, 0, 0, 1: G is the largest that four values can have, (n − 1)/√n = 1.5.
    expect(criticalSquare(4).toNumber()).toBeLessThan(2.25);
    expect(outlier('0', '0', '0', '1')).toBe(3);
    // 0, 0, d, 1 with G² = 2.1904 = 1.48² just under the critical 2.194: worked by hand for d = 0.12.
    expect(outlier('0', '0', '0.12', '1')).toBe(3);
    expect(outlier('0', '0', '0.2', '1')).toBeUndefined();
  });

  it('finds the same value in whatever order, place and unit', () => {
    const values = fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 3, maxLength: 10 });
    fc.assert(
      fc.property(
        values,
        fc.integer(),
        fc.integer({ min: 1, max: 999 }),
        fc.nat(9),
        (some, by, times, turn) => {
          const place = outlierOf(some.map((one) => Rational.of(one)));
          const turned = [...some.slice(turn % some.length), ...some.slice(0, turn % some.length)];
          const again = outlierOf(turned.map((one) => Rational.of(by).plus(Rational.of(one * times, 254))));
          expect(again === undefined ? undefined : turned[again]).toBe(
            place === undefined ? undefined : some[place],
          );
        },
      ),
      { numRuns: 300 },
    );
  });
});
