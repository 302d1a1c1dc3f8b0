import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { probabilityOfConformity } from '../../src/measure/conformity-probability.ts';
import { normalCumulative } from '../../src/measure/normal.ts';
import { studentCumulative } from '../../src/measure/student.ts';
import { Rational } from '../../src/quantity/index.ts';

const at = (value: number): Rational => Rational.of(Math.round(value * 1000), 1000);
const one = Rational.one;
const within = { low: at(-2), high: at(2), variance: one };

describe('the probability that a value conforms', () => {
  it('is that of the distribution between the limits', () => {
    expect(probabilityOfConformity({ value: at(0), ...within })).toBeCloseTo(0.954499736103642, 14);
    expect(probabilityOfConformity({ value: at(2), ...within })).toBeCloseTo(0.5 - normalCumulative(-4), 15);
    expect(probabilityOfConformity({ value: at(1), high: at(2), variance: one })).toBeCloseTo(
      normalCumulative(1),
      15,
    );
    expect(probabilityOfConformity({ value: at(1), low: at(2), variance: one })).toBe(normalCumulative(-1));
    expect(probabilityOfConformity({ value: at(1), high: at(2), variance: at(4) })).toBeCloseTo(
      normalCumulative(0.5),
      15,
    );
  });

  it('is that of a t distribution where the uncertainty was estimated', () => {
    const t = { ...within, degreesOfFreedom: 4.7 };
    expect(probabilityOfConformity({ value: at(0), ...t })).toBeCloseTo(1 - 2 * studentCumulative(-2, 4), 14);
    expect(probabilityOfConformity({ value: at(5), ...t })).toBeCloseTo(
      studentCumulative(-3, 4) - studentCumulative(-7, 4),
      15,
    );
    const few = probabilityOfConformity({ value: at(0), ...within, degreesOfFreedom: 0.5 });
    expect(few).toBe(probabilityOfConformity({ value: at(0), ...within, degreesOfFreedom: 1 }));
    const many = probabilityOfConformity({
      value: at(0),
      ...within,
      degreesOfFreedom: Number.POSITIVE_INFINITY,
    });
    expect(many).toBe(probabilityOfConformity({ value: at(0), ...within }));
  });

  it('is 0 or 1 without uncertainty, the limits included', () => {
    const sure = { low: at(-2), high: at(2), variance: Rational.zero };
    for (const value of [-2, 0, 2]) expect(probabilityOfConformity({ value: at(value), ...sure })).toBe(1);
    for (const value of [-2.001, 2.001])
      expect(probabilityOfConformity({ value: at(value), ...sure })).toBe(0);
    expect(probabilityOfConformity({ value: at(3), low: at(2), variance: Rational.zero })).toBe(1);
    expect(probabilityOfConformity({ value: at(3), high: at(2), variance: Rational.zero })).toBe(0);
  });

  it('keeps its digits far outside the limits, on either side', () => {
    const far = probabilityOfConformity({ value: at(30), ...within });
    expect(far).toBe(normalCumulative(-28) - normalCumulative(-32));
    expect(far).toBeGreaterThan(0);
    expect(probabilityOfConformity({ value: at(-30), ...within })).toBe(far);
    expect(probabilityOfConformity({ value: at(-500), ...within })).toBe(0);
  });

  it('does not depend on where the zero of the scale is', () => {
    // The differences are taken exactly: 10¹² away from zero nothing is lost.
    const off = Rational.of(10n ** 12n);
    expect(
      probabilityOfConformity({
        value: at(1.001).plus(off),
        low: at(-2).plus(off),
        high: at(2).plus(off),
        variance: one,
      }),
    ).toBe(probabilityOfConformity({ value: at(1.001), ...within }));
  });

  it('lies between 0 and 1, is symmetric, falls away from the middle and grows with the limits', () => {
    const number = fc.double({ min: -50, max: 50, noNaN: true });
    const nu = fc.option(fc.integer({ min: 1, max: 50 }), { nil: Number.POSITIVE_INFINITY });
    fc.assert(
      fc.property(
        number,
        number,
        fc.double({ min: 0.01, max: 10, noNaN: true }),
        nu,
        (value, other, width, degreesOfFreedom) => {
          const variance = at(width).times(at(width));
          const p = (x: number, half: number): number =>
            probabilityOfConformity({
              value: at(x),
              low: at(-half),
              high: at(half),
              variance,
              degreesOfFreedom,
            });
          const half = Math.abs(other);
          const found = p(value, half);
          expect(found).toBeGreaterThanOrEqual(0);
          expect(found).toBeLessThanOrEqual(1);
          expect(p(-value, half)).toBeCloseTo(found, 14);
          expect(p(value * 1.1, half)).toBeLessThanOrEqual(found + 1e-14);
          expect(p(value, half * 1.1)).toBeGreaterThanOrEqual(found - 1e-14);
          const above = probabilityOfConformity({
            value: at(value),
            low: at(half),
            variance,
            degreesOfFreedom,
          });
          const below = probabilityOfConformity({
            value: at(value),
            high: at(-half),
            variance,
            degreesOfFreedom,
          });
          expect(found + above + below).toBeCloseTo(1, 12);
        },
      ),
      { numRuns: 500 },
    );
  });
});
