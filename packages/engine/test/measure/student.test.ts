import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { normalCumulative } from '../../src/measure/normal.ts';
import {
  coverageFactor,
  coverageFactorOnGrid,
  studentCumulative,
  studentTailQuantile,
} from '../../src/measure/student.ts';

const apart = (found: number, expected: number): number => Math.abs(found - expected) / Math.abs(expected);

/** Closed forms for whole degrees of freedom (M. Abramowitz, I. A. Stegun, 26.7.3 and 26.7.4; form from memory). */
function closedForm(t: number, nu: number): number {
  const angle = Math.atan(t / Math.sqrt(nu));
  const [sin, cos] = [Math.sin(angle), Math.cos(angle)];
  let term = nu % 2 === 1 ? cos : 1;
  let sum = 0;
  for (let k = nu % 2 === 1 ? 2 : 1; k < nu; k += 2) {
    sum += term;
    term *= (k / (k + 1)) * cos * cos;
  }
  const between = nu % 2 === 1 ? (2 / Math.PI) * (angle + sin * sum) : sin * sum;
  return 0.5 + between / 2;
}

describe("Student's t distribution", () => {
  it('is that of the closed forms, near the centre', () => {
    for (const nu of [1, 2, 3, 4, 5, 6, 9, 10, 16, 31, 59, 60, 61, 62, 200])
      for (let t = -6; t <= 6; t += 0.0937)
        expect(Math.abs(studentCumulative(t, nu) - closedForm(t, nu))).toBeLessThan(2e-15);
  });

  it('keeps its digits far out', () => {
    // One degree of freedom: 1/(πt) to first order; two: 1/(2t²).
    for (const t of [1e6, 1e9, 1e15, 1e100])
      expect(apart(studentCumulative(-t, 1), 1 / (Math.PI * t))).toBeLessThan(1e-12);
    for (const t of [1e8, 1e12, 1e70])
      expect(apart(studentCumulative(-t, 2), 0.5 / (t * t))).toBeLessThan(1e-12);
    expect(studentCumulative(Number.NEGATIVE_INFINITY, 3)).toBe(0);
    expect(studentCumulative(Number.POSITIVE_INFINITY, 3)).toBe(1);
  });

  it('comes to the normal distribution', () => {
    for (const z of [-8, -3, -1.99, -0.2, 0, 0.7, 2, 5]) {
      expect(studentCumulative(z, Number.POSITIVE_INFINITY)).toBe(normalCumulative(z));
      expect(apart(studentCumulative(z, 1e15), normalCumulative(z))).toBeLessThan(1e-11);
      // The first term of what they differ by: φ(z)(z³ + z)/4ν.
      const first = (0.3989422804014327 * Math.exp((-z * z) / 2) * (z ** 3 + z)) / 4;
      expect(Math.abs((studentCumulative(z, 1e6) - normalCumulative(z)) * 1e6 + first)).toBeLessThan(1e-5);
    }
  });

  it('cuts degrees of freedom to a whole number and has nothing for fewer than one', () => {
    expect(studentCumulative(-2, 4.99)).toBe(studentCumulative(-2, 4));
    expect(studentCumulative(-2, 5)).not.toBe(studentCumulative(-2, 4));
    for (const nu of [0.99, 0, -3, Number.NaN]) expect(studentCumulative(-2, nu)).toBeNaN();
    expect(studentCumulative(Number.NaN, 4)).toBeNaN();
  });

  it('rises, also where two ways of computing it meet', () => {
    for (const nu of [1, 2, 3, 8, 59, 60, 1e4, 1e9]) {
      const h = 1e-13;
      const [before, after] = [studentCumulative(-2 - h, nu), studentCumulative(-2 + h, nu)];
      expect(after - before).toBeGreaterThanOrEqual(0);
      expect(after - before).toBeLessThan(2e-13);
    }
  });

  it('has an inverse', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 400 }),
        fc.double({ min: 1e-12, max: 0.49, noNaN: true }),
        (nu, p) => {
          expect(apart(studentCumulative(-studentTailQuantile(p, nu), nu), p)).toBeLessThan(1e-12);
        },
      ),
      { numRuns: 300 },
    );
    expect(studentTailQuantile(0.5, 7)).toBe(0);
    expect(studentTailQuantile(0, 7)).toBe(Number.POSITIVE_INFINITY);
    for (const p of [-0.1, 0.6]) expect(studentTailQuantile(p, 7)).toBeNaN();
  });
});

describe('coverage factors', () => {
  it('fall with the degrees of freedom down to the normal one', () => {
    let before = Number.POSITIVE_INFINITY;
    for (const nu of [1, 1.5, 2, 3, 10, 100, 1e4, 1e8, Number.POSITIVE_INFINITY]) {
      const k = coverageFactor(0.95, nu);
      expect(k).toBeLessThanOrEqual(before);
      before = k ?? 0;
    }
    expect(coverageFactor(0.95)).toBe(coverageFactor(0.95, Number.POSITIVE_INFINITY));
    expect(coverageFactor(0.95, 1.9)).toBe(coverageFactor(0.95, 1));
    expect(coverageFactor(0.95, 0.9)).toBeUndefined();
    expect(coverageFactor(1.5, 3)).toBeUndefined();
  });

  it.each([
    [undefined, '2'],
    [Number.POSITIVE_INFINITY, '2'],
    [1e9, '2'],
    [60_000, '2'],
    [30_000, '201/100'],
    [9.99, '58/25'], // cut to 9: 2.320 rounded to four decimals is 2.3198
    [4, '287/100'],
    [1, '1397/100'],
    [0.3, '1397/100'],
  ])('on the grid for %s degrees of freedom: %s', (nu, k) => {
    expect(coverageFactorOnGrid(nu).toFraction()).toBe(k);
    expect(coverageFactorOnGrid(nu).toFraction()).toBe(k);
  });

  it('on the grid are never smaller than what they are rounded from, by more than rounding to four decimals', () => {
    for (let nu = 1; nu < 300; nu++) {
      const exact = coverageFactor(0.9545, nu) ?? 0;
      const held = coverageFactorOnGrid(nu).toNumber();
      expect(held).toBeGreaterThanOrEqual(exact - 0.00005);
      expect(held).toBeLessThan(exact + 0.01);
    }
  });
});
