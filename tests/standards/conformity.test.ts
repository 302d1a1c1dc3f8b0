import { judge, parseQuantity, probabilityOfConformity, type Quantity, Rational } from '@ferrule/engine';
import { globalRisks } from '@ferrule/engine/risk';
import { describe, expect, it, test } from 'vitest';

function exact(text: string): Rational {
  const value = Rational.parse(text);
  if (value === undefined) throw new Error(text);
  return value;
}

test('JCGM 106:2012, 7.3.3: a Zener voltage of −5.47 V, u = 0.05 V, at most −5.40 V, conforms with 0.92 (memory; digits recomputed)', () => {
  const probability = probabilityOfConformity({
    value: exact('-5.47'),
    high: exact('-5.40'),
    variance: exact('0.0025'),
  });
  expect(Math.abs(probability - 0.91924)).toBeLessThan(5e-6);
});

describe('global risks', () => {
  // JCGM 106:2012, 9.5.4, as carried by sandialabs/suncal, notebook on the risk of a ball bearing (read).
  const bearing = (high: number) =>
    globalRisks({
      prior: { prior: 'gamma', shape: 4, scale: 0.25 },
      tolerance: { high: 2 },
      acceptance: { high },
      uncertainty: 0.25,
    });

  it('of bearings, gamma-distributed, at most 2 µm, u = 0.25 µm: 4.238 % do not conform, 0.802 % are accepted all the same', () => {
    expect(bearing(2).nonconforming / 0.04238011).toBeCloseTo(1, 6);
    expect(bearing(2).falseAcceptance / 0.00801911).toBeCloseTo(1, 6);
  });

  it('of these, accepted up to 1.671829 µm, 0.1 % are accepted wrongly', () => {
    expect(bearing(1.671829).falseAcceptance / 0.001).toBeCloseTo(1, 5);
  });

  it('at a ratio of 4:1, limits at 2σ: 0.8 % accepted wrongly, 1.5 % rejected wrongly (Deaver, as carried by sandialabs/suncal, test_risk.py; read)', () => {
    const { falseAcceptance, falseRejection } = globalRisks({
      prior: { prior: 'normal', mean: 0, standardDeviation: 1 },
      tolerance: { low: -2, high: 2 },
      acceptance: { low: -2, high: 2 },
      uncertainty: 0.25,
    });
    expect(Math.abs(falseAcceptance - 0.008)).toBeLessThan(5e-4);
    expect(Math.abs(falseRejection - 0.015)).toBeLessThan(5e-4);
  });
});

describe('a rule with four outcomes, guard band w = U (ILAC-G8, 4.2.3; micrometer on talalspecialbolt.com; read)', () => {
  const length = (text: string): Quantity => {
    const read = parseQuantity(text, 'length');
    if (!('quantity' in read)) throw new Error(text);
    return read.quantity;
  };
  const u = length('0.0005 mm').value;
  const uncertainty = {
    variance: u.times(u),
    degreesOfFreedom: Number.POSITIVE_INFINITY,
    coverageFactor: Rational.of(2),
  };
  const limits = { low: length('-0.003 mm'), high: length('0.003 mm') };

  it.each([
    ['0.0017 mm', 'inside', 'pass'],
    ['0.0025 mm', 'inside-band', 'conditional pass'],
    ['0.0020 mm', 'inside', 'pass, on the edge of the band (computed)'],
    ['-0.0035 mm', 'outside-band', 'conditional fail (computed)'],
    ['0.0045 mm', 'outside', 'fail (computed)'],
  ])('an error of %s against ±0.003 mm, U = 0.001 mm: %s (%s)', (error, zone) => {
    const rule = { rule: 'guarded-both', guardBand: Rational.one } as const;
    const verdict = judge(
      { limits, rule, capability: Rational.of(3) },
      { amount: length(error), uncertainty },
    );
    if (verdict.verdict === 'unmeasured') throw new Error('unmeasured');
    expect(verdict.assessment?.zone).toBe(zone);
  });
});
