import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { effectiveDegreesOfFreedom } from '../../src/measure/effective-degrees-of-freedom.ts';
import { Rational } from '../../src/quantity/index.ts';

const variance = (value: number): Rational => Rational.of(value, 100);

describe('effective degrees of freedom', () => {
  it('are infinite where nothing was estimated', () => {
    const all = Number.POSITIVE_INFINITY;
    expect(effectiveDegreesOfFreedom(variance(3), [])).toBe(all);
    expect(effectiveDegreesOfFreedom(variance(3), [{ variance: variance(3), degreesOfFreedom: all }])).toBe(
      all,
    );
    expect(effectiveDegreesOfFreedom(variance(3), [{ variance: variance(0), degreesOfFreedom: 2 }])).toBe(
      all,
    );
    expect(effectiveDegreesOfFreedom(variance(0), [])).toBe(all);
  });

  it('are none where something was estimated from one reading', () => {
    const parts = [
      { variance: variance(1), degreesOfFreedom: 0 },
      { variance: variance(2), degreesOfFreedom: 9 },
    ];
    expect(effectiveDegreesOfFreedom(variance(3), parts)).toBe(0);
  });

  it('of one part are its own, whole numbers to the last digit', () => {
    for (let nu = 1; nu < 500; nu++) {
      const part = { variance: Rational.of(1, 3 * nu), degreesOfFreedom: nu };
      expect(effectiveDegreesOfFreedom(part.variance, [part])).toBe(nu);
    }
    expect(effectiveDegreesOfFreedom(variance(7), [{ variance: variance(7), degreesOfFreedom: 25.6 }])).toBe(
      25.6,
    );
  });

  it('of equal parts add up', () => {
    const part = { variance: Rational.of(1, 7), degreesOfFreedom: 7 };
    expect(effectiveDegreesOfFreedom(Rational.one, Array(7).fill(part))).toBe(49);
  });

  it('grow by the square of what is known besides', () => {
    // Half of the variance was estimated with 5: (2)² · 5.
    expect(effectiveDegreesOfFreedom(variance(2), [{ variance: variance(1), degreesOfFreedom: 5 }])).toBe(20);
  });

  it('lie between the fewest and the sum, and are cut below the exact quotient', () => {
    const part = fc.record({ v: fc.integer({ min: 1, max: 1e6 }), nu: fc.integer({ min: 1, max: 60 }) });
    fc.assert(
      fc.property(fc.array(part, { minLength: 1, maxLength: 6 }), (parts) => {
        const whole = parts.reduce((sum, { v }) => sum + v, 0);
        const estimated = parts.map(({ v, nu }) => ({ variance: Rational.of(v, 12), degreesOfFreedom: nu }));
        const found = effectiveDegreesOfFreedom(Rational.of(whole, 12), estimated);
        expect(found).toBeGreaterThanOrEqual(Math.min(...parts.map(({ nu }) => nu)));
        expect(found).toBeLessThanOrEqual(parts.reduce((sum, { nu }) => sum + nu, 0));
        const exact = Rational.of(BigInt(whole) ** 2n).over(
          parts.reduce((sum, { v, nu }) => sum.plus(Rational.of(BigInt(v) ** 2n, nu)), Rational.zero),
        );
        expect(Rational.parse(exact.toDecimal(3, 'down'))?.toNumber()).toBe(found);
      }),
      { numRuns: 500 },
    );
  });
});
