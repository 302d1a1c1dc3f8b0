import { coverageFactor, coverageFactorOnGrid } from '@ferrule/engine';
import stdlibNormal from '@stdlib/stats-base-dists-normal-cdf';
import stdlibNormalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import stdlibStudent from '@stdlib/stats-base-dists-t-cdf';
import stdlibStudentQuantile from '@stdlib/stats-base-dists-t-quantile';
import { describe, expect, it, test } from 'vitest';
import { normalCumulative, normalQuantile } from '../../packages/engine/src/measure/normal.ts';
import { studentCumulative, studentTailQuantile } from '../../packages/engine/src/measure/student.ts';

const apart = (found: number, expected: number): number => Math.abs(found - expected) / Math.abs(expected);
const steps = (from: number, until: number, by: number): readonly number[] =>
  Array.from({ length: Math.floor((until - from) / by) + 1 }, (_, i) => from + i * by);

describe('against the distributions of stdlib', () => {
  it('the normal cumulative, −37 to 8: within 1e-15, and 3e-13 of itself', () => {
    // stdlib takes the tail of z/√2, which rounding moves: z² units of the last place by the end.
    const worst = { absolute: 0, relative: 0 };
    for (const z of steps(-37, 8, 0.0113)) {
      const [found, theirs] = [normalCumulative(z), stdlibNormal(z, 0, 1)];
      worst.absolute = Math.max(worst.absolute, Math.abs(found - theirs));
      worst.relative = Math.max(worst.relative, apart(found, theirs));
    }
    expect(worst.absolute).toBeLessThan(1e-15);
    expect(worst.relative).toBeLessThan(3e-13);
  });

  it('the normal quantile, 0.001 to 0.999: within 1e-13', () => {
    for (const p of steps(0.001, 0.999, 0.00071))
      expect(Math.abs(normalQuantile(p) - stdlibNormalQuantile(p, 0, 1))).toBeLessThan(1e-13);
  });

  // Below 0.001 stdlib loses digits, and below 1e-16 it has no answer: to 30 digits with an arbitrary-precision library
  // (computed).
  it.each([
    [1e-6, -4.753424308822899],
    [1e-17, -8.493793224109599],
    [1e-50, -14.933337534788489],
    [1e-100, -21.273453560965326],
    [1e-300, -37.0470962993612],
  ])('the normal quantile of %d is %d', (p, z) => {
    expect(apart(normalQuantile(p), z)).toBeLessThan(1e-14);
  });

  it('the t cumulative, 1 to 1000 degrees of freedom: within 1e-12 of itself', () => {
    let worst = 0;
    for (const nu of [1, 2, 3, 4, 5, 7, 9, 10, 16, 25, 50, 59, 60, 61, 100, 333, 1000])
      for (const t of steps(-30, 5, 0.173)) {
        const theirs = stdlibStudent(t, nu);
        if (theirs > 1e-300) worst = Math.max(worst, apart(studentCumulative(t, nu), theirs));
      }
    expect(worst).toBeLessThan(1e-12);
  });

  it('the t quantile, 1 to 1000 degrees of freedom: within 1e-12 of itself', () => {
    let worst = 0;
    for (const nu of [1, 2, 3, 4, 5, 7, 9, 10, 16, 25, 50, 59, 60, 61, 100, 333, 1000])
      for (const p of [0.49, 0.4, 0.25, 0.1, 0.05, 0.025, 0.02275, 0.01, 0.005, 1e-3, 1e-5, 1e-8])
        worst = Math.max(worst, apart(studentTailQuantile(p, nu), -stdlibStudentQuantile(p, nu)));
    expect(worst).toBeLessThan(1e-12);
  });
});

describe('coverage factors', () => {
  // NIST Technical Note 1297, Table B.1 (read).
  it.each([
    [4, 95, 2.78],
    [4, 99, 4.6],
    [9, 95, 2.26],
    [16, 95, 2.12],
    [16, 99, 2.92],
    [50, 95, 2.01],
  ])('t of %i degrees of freedom for %i %% is %d (NIST TN 1297, Table B.1; read)', (nu, percent, k) => {
    expect(Math.abs((coverageFactor(percent / 100, nu) ?? 0) - k)).toBeLessThan(0.005);
  });

  it.each([
    [90, 1.645],
    [95, 1.96],
    [99, 2.576],
  ])('k for %i %% of a normal distribution is %d (NIST TN 1297, Table B.1; read)', (percent, k) => {
    expect(Math.abs((coverageFactor(percent / 100) ?? 0) - k)).toBeLessThan(0.0005);
  });

  // JCGM 100:2008, Table G.2, its column for 95.45 %, from memory. On our grid the factor is rounded up.
  it.each([
    [1, 13.97],
    [2, 4.53],
    [3, 3.31],
    [4, 2.87],
    [5, 2.65],
    [6, 2.52],
    [7, 2.43],
    [8, 2.37],
    [9, 2.32],
    [10, 2.28],
    [20, 2.13],
    [50, 2.05],
    [100, 2.025],
    [Number.POSITIVE_INFINITY, 2],
  ])('t of %d degrees of freedom for 95.45 %% is %d (JCGM 100:2008, Table G.2; memory)', (nu, k) => {
    expect(Math.abs((coverageFactor(0.9545, nu) ?? 0) - k)).toBeLessThanOrEqual(0.005);
    const held = coverageFactorOnGrid(nu).toNumber();
    expect(held - k).toBeGreaterThan(-0.005);
    expect(held - k).toBeLessThan(0.015);
  });

  test('H.1.6 of JCGM 100:2008: 32 nm × t of 16 degrees of freedom for 99 % = 93 nm (memory; 2.92 in NIST TN 1297, Table B.1, read)', () => {
    expect(Math.abs(32 * (coverageFactor(0.99, 16.7) ?? 0) - 93)).toBeLessThan(0.5);
  });
});

describe('the normal distribution', () => {
  it.each([
    [1.4, 0.9192],
    [1.64, 0.9495],
  ])('up to %d is %d (table of areas of the normal curve, git.aperx.org/aperx/wiki; read)', (z, p) => {
    expect(Math.abs(normalCumulative(z) - p)).toBeLessThan(5e-5);
  });

  it.each([
    [0.8, 0.84],
    [0.9, 1.28],
    [0.95, 1.64],
    [0.99, 2.33],
    [0.999, 3.09],
  ])('comes up to %d at %d (JCGM 106:2012, Table 1; memory)', (p, z) => {
    expect(Math.abs(normalQuantile(p) - z)).toBeLessThan(0.005);
  });
});
