import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rootOf } from '../../src/measure/root.ts';
import { Rational } from '../../src/quantity/index.ts';

const read = (text: string): Rational => {
  const value = Rational.parse(text);
  if (value === undefined) throw new Error(text);
  return value;
};

describe('the root of a square', () => {
  it.each<[string, number, 'up' | 'nearest', string]>([
    ['2', 2, 'up', '1.5'],
    ['2', 2, 'nearest', '1.4'],
    ['2', 9, 'nearest', '1.41421356'],
    ['2', 9, 'up', '1.41421357'],
    ['0.0003', 2, 'up', '0.018'],
    ['0.0003', 2, 'nearest', '0.017'],
    ['0.0004', 2, 'up', '0.02'],
    ['0.0625', 2, 'up', '0.25'],
    ['0.0625', 1, 'up', '0.3'],
    ['0.0625', 1, 'nearest', '0.3'], // a tie goes up
    ['0.01', 2, 'up', '0.1'],
    ['100', 2, 'up', '10'],
    ['99.9', 2, 'up', '10'],
    ['99.9', 2, 'nearest', '10'],
    ['9.9', 2, 'up', '3.2'],
    ['1234567', 2, 'up', '1200'],
    ['1234567', 2, 'nearest', '1100'],
    ['1234567', 4, 'nearest', '1111'],
    ['1234567', 5, 'nearest', '1111.1'],
    ['1/3', 3, 'up', '0.578'],
    ['0', 2, 'up', '0'],
  ])('of %s to %i digits, %s, is %s', (square, digits, rounding, root) => {
    expect(rootOf(read(square), digits, rounding).equals(read(root))).toBe(true);
  });

  it('of what is below zero is our own mistake', () => {
    expect(() => rootOf(read('-1'), 2, 'up')).toThrow(RangeError);
  });

  const part = fc.oneof(fc.bigInt(1n, 10n ** 6n), fc.bigInt(1n, 10n ** 40n));
  it('encloses the root and has no more digits than asked for', () => {
    fc.assert(
      fc.property(part, part, fc.integer({ min: 1, max: 6 }), (n, d, digits) => {
        const square = Rational.of(n, d);
        const up = rootOf(square, digits, 'up');
        // The unit of its last digit, from the digits themselves.
        const [whole = '', fraction = ''] = up.toDecimal(60).split('.');
        const all = `${whole}${fraction}`;
        const lead = all.search(/[1-9]/);
        expect(all.slice(lead + digits)).toMatch(/^0*$/);
        const power = whole.length - lead - digits;
        const unit = power >= 0 ? Rational.of(10n ** BigInt(power)) : Rational.of(1n, 10n ** BigInt(-power));
        expect(up.times(up).compare(square)).not.toBe(-1);
        const down = up.minus(unit);
        // Just above a power of ten the digits before it are finer by ten.
        if (down.sign > 0) expect(down.times(down).compare(square)).toBe(-1);
        const nearest = rootOf(square, digits, 'nearest');
        const half = unit.times(Rational.of(1, 2));
        const [low, high] = [nearest.minus(half), nearest.plus(half)];
        expect(high.times(high).compare(square)).not.toBe(-1);
        if (low.sign > 0) expect(low.times(low).compare(square)).not.toBe(1);
      }),
      { numRuns: 500 },
    );
  });
});
