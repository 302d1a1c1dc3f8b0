import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { standsOut } from '../../src/measure/stands-out.ts';
import { Rational } from '../../src/quantity/index.ts';

const named = (...values: readonly number[]) =>
  values.map((value, i) => ({ name: `bore ${i + 1}`, value: Rational.of(Math.round(value * 100), 100) }));
const plain = (...values: readonly number[]): unknown =>
  JSON.parse(JSON.stringify(standsOut(named(...values)) ?? null));

describe('which of several values stands out', () => {
  it('is the one farthest from the median of the others', () => {
    expect(plain(28, 27.9, 23, 28.1)).toEqual({
      name: 'bore 3',
      value: '23',
      others: '28',
      distance: '5',
      side: 'low',
      isOutlier: true,
    });
    expect(plain(28, 31, 27, 28.5, 29)).toMatchObject({
      name: 'bore 2',
      others: '113/4',
      side: 'high',
      isOutlier: false,
    });
    expect(plain(10, 10, 12)).toMatchObject({ name: 'bore 3', others: '10', distance: '2', side: 'high' });
  });

  it('leaves one of several equal values among the others', () => {
    expect(plain(1, 1, 1, 1, 1.5)).toMatchObject({ name: 'bore 5', others: '1', distance: '1/2' });
  });

  it.each([[[]], [[1]], [[1, 2]], [[3, 3, 3]], [[1, 2, 3]], [[1, 1, 2, 2]], [[5, 1, 5, 9, 5]]])(
    'is none of %j',
    (values) => {
      expect(standsOut(named(...values))).toBeUndefined();
    },
  );

  it('does not depend on the order, and is an extreme', () => {
    const values = fc.array(fc.integer({ min: 0, max: 30 }), { minLength: 3, maxLength: 8 });
    fc.assert(
      fc.property(values, (some) => {
        const found = standsOut(named(...some));
        const backwards = standsOut(named(...some).reverse());
        expect(backwards?.name).toBe(found?.name);
        if (found === undefined) return;
        const extreme = found.side === 'high' ? Math.max(...some) : Math.min(...some);
        expect(found.value.toNumber()).toBe(extreme);
        expect(found.value.minus(found.others).abs().equals(found.distance)).toBe(true);
        // Naive: the median of the others by sorting what is left.
        const left = [...some];
        left.splice(left.indexOf(extreme), 1);
        left.sort((a, b) => a - b);
        const half = left.length / 2;
        const median = ((left[Math.ceil(half) - 1] ?? 0) + (left[Math.floor(half)] ?? 0)) / 2;
        expect(found.others.toNumber()).toBe(median);
      }),
      { numRuns: 300 },
    );
  });
});
