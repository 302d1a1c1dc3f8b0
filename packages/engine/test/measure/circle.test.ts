import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { meanOnCircle, nearestTurn } from '../../src/measure/circle.ts';
import { Rational } from '../../src/quantity/index.ts';

const tenths = (n: number): Rational => Rational.of(n, 10);
const turn = Rational.of(360);
const mean = (...degrees: readonly number[]): number | undefined =>
  meanOnCircle(
    degrees.map((one) => tenths(Math.round(one * 10))),
    turn,
  )?.toNumber();

describe('the mean on a circle', () => {
  it.each<[readonly number[], number | undefined]>([
    [[359.5, 0.5], 0],
    [[0.5, 359.5], 0],
    [[350, 20], 5],
    [[0.1, 359.7], 359.9],
    [[10, 20, 30], 20],
    [[725], 5],
    [[-1, 359], 359],
    [[0, 179.9], 89.95],
    [[0, 180], undefined],
    [[0, 120, 240], undefined],
    [[0, 100, 260], undefined],
    [[], undefined],
  ])('of %j is %s', (degrees, expected) => {
    expect(mean(...degrees)).toBe(expected);
  });

  it('turns with its values, whatever their order and number of turns', () => {
    const offsets = fc.array(fc.integer({ min: 0, max: 1799 }), { minLength: 1, maxLength: 6 });
    fc.assert(
      fc.property(
        offsets,
        fc.integer({ min: 0, max: 3599 }),
        fc.integer({ min: -3, max: 3 }),
        (some, by, turns) => {
          const placed = some.map((one, i) => tenths(one + by + 3600 * (i % 2) * turns));
          const plain = some.reduce((sum, one) => sum.plus(tenths(one)), Rational.zero);
          const expected = plain.over(Rational.of(some.length)).plus(tenths(by)).mod(turn);
          expect(meanOnCircle(placed.reverse(), turn)?.equals(expected)).toBe(true);
        },
      ),
      { numRuns: 300 },
    );
  });
});

describe('the nearest turn', () => {
  it.each([
    [359, 0, -1],
    [1, 359, 361],
    [180, 0, 180], // half a turn away: up, never down
    [-180, 0, 180],
    [540, 0, 180],
    [725, 700, 725],
  ])('of %d° to %d° is %d°', (value, middle, expected) => {
    expect(nearestTurn(Rational.of(value), turn, Rational.of(middle)).toNumber()).toBe(expected);
  });
});
