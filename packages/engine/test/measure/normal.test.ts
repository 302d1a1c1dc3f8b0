import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { exponential } from '../../src/measure/exponential.ts';
import { normalCumulative, normalDensity, normalQuantile } from '../../src/measure/normal.ts';

const apart = (found: number, expected: number): number => Math.abs(found - expected) / Math.abs(expected);

describe('e to a power that is not above 0', () => {
  it('comes within a few units of the last digit of the platform, down to the least double', () => {
    for (let x = -700; x <= 0; x += 0.37) expect(apart(exponential(x), Math.exp(x))).toBeLessThan(6e-16);
    expect(exponential(0)).toBe(1);
    expect(exponential(-744)).toBe(2 * Number.MIN_VALUE);
    expect(exponential(-746)).toBe(0);
    expect(exponential(Number.NEGATIVE_INFINITY)).toBe(0);
    expect(exponential(Number.NaN)).toBeNaN();
  });

  it('takes what its argument lost to rounding', () => {
    for (const rest of [1e-13, -1e-13, 0.25, -3])
      expect(apart(exponential(-300, rest), Math.exp(-300) * Math.exp(rest))).toBeLessThan(1e-15);
  });
});

describe('the normal distribution', () => {
  it('is a half at 0, nothing far below and all far above', () => {
    expect(normalCumulative(0)).toBe(0.5);
    expect(normalCumulative(-40)).toBe(0);
    expect(normalCumulative(9)).toBe(1);
    expect(normalCumulative(Number.NEGATIVE_INFINITY)).toBe(0);
    expect(normalCumulative(Number.POSITIVE_INFINITY)).toBe(1);
    expect(normalCumulative(Number.NaN)).toBeNaN();
    expect(normalDensity(Number.NEGATIVE_INFINITY)).toBe(0);
  });

  // To 30 digits with an arbitrary-precision library (computed). Both sides of where the approximations meet.
  it.each([
    [-0.1, 0.460172162722971],
    [-0.66291, 0.25369409838973994],
    [-0.66292, 0.25369089593247257],
    [-1.96, 0.024997895148220435],
    [-5.6568, 7.711064856975537e-9],
    [-5.6569, 7.706575245071398e-9],
    [-10, 7.619853024160525e-24],
    [-20, 2.7536241186062337e-89],
    [-37, 5.725571222524577e-300],
    [-12.34, 2.7577941516989773e-35],
    [-36.7, 3.651529302803418e-295],
  ])('at %d is %d, to 14 digits of itself', (z, expected) => {
    expect(apart(normalCumulative(z), expected)).toBeLessThan(5e-15);
  });

  it('rises and is symmetric', () => {
    let before = 0;
    for (let z = -12; z <= 12; z += 0.0078125) {
      const now = normalCumulative(z);
      expect(now).toBeGreaterThanOrEqual(before);
      expect(Math.abs(now + normalCumulative(-z) - 1)).toBeLessThanOrEqual(2.3e-16);
      before = now;
    }
  });

  it('rises by its density', () => {
    for (let z = -8; z <= 8; z += 0.61) {
      const h = 1e-4;
      const slope = (normalCumulative(z + h) - normalCumulative(z - h)) / (2 * h);
      expect(Math.abs(slope - normalDensity(z))).toBeLessThan(1e-8 * normalDensity(z) * (1 + z * z) + 1e-12);
    }
  });

  it('has an inverse', () => {
    fc.assert(
      fc.property(fc.double({ min: -36, max: 5, noNaN: true }), (z) => {
        const p = normalCumulative(z);
        // What one unit in the last place of p is worth at z.
        const slack = (3e-16 * p) / normalDensity(z) + 1e-15 * Math.abs(z) + 1e-16;
        expect(Math.abs(normalQuantile(p) - z)).toBeLessThanOrEqual(4 * slack);
      }),
      { numRuns: 500 },
    );
    expect(normalQuantile(0.5)).toBe(0);
    expect(normalQuantile(0)).toBe(Number.NEGATIVE_INFINITY);
    expect(normalQuantile(1)).toBe(Number.POSITIVE_INFINITY);
    for (const p of [-0.1, 1.1, Number.NaN]) expect(normalQuantile(p)).toBeNaN();
    for (const p of [1e-300, 1e-17, 1e-9, 0.25])
      expect(apart(normalCumulative(normalQuantile(p)), p)).toBeLessThan(1e-12);
  });
});
