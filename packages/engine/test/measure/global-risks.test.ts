import { globalRisks } from '@ferrule/engine/risk';
import { describe, expect, it } from 'vitest';
import { normalDensity } from '../../src/measure/normal.ts';

const tolerance = { low: -2, high: 2 };
const normal = { prior: 'normal', mean: 0, standardDeviation: 1 } as const;

describe('global risks', () => {
  it('count each thing once: what is accepted and what is rejected add up', () => {
    const acceptance = { low: -1.8, high: 1.9 };
    const given = { prior: normal, tolerance, acceptance, uncertainty: 0.3 };
    const { nonconforming, falseAcceptance, falseRejection } = globalRisks(given);
    // Indications are spread normally with 1 + 0.3²: that share is accepted in all.
    const spread = { prior: 'normal', mean: 0, standardDeviation: Math.sqrt(1.09) } as const;
    const rejected = globalRisks({
      prior: spread,
      tolerance: acceptance,
      acceptance,
      uncertainty: 0.3,
    }).nonconforming;
    expect(1 - rejected).toBeCloseTo(1 - nonconforming - falseRejection + falseAcceptance, 11);
    expect(nonconforming).toBeCloseTo(0.0455002638963584, 12);
  });

  it('exchange: a guard band lowers one and raises the other', () => {
    const risks = [0, 0.2, 0.4].map((band) =>
      globalRisks({
        prior: normal,
        tolerance,
        acceptance: { low: band - 2, high: 2 - band },
        uncertainty: 0.25,
      }),
    );
    for (const [i, risk] of risks.slice(1).entries()) {
      expect(risk.falseAcceptance).toBeLessThan(risks[i]?.falseAcceptance ?? 0);
      expect(risk.falseRejection).toBeGreaterThan(risks[i]?.falseRejection ?? 1);
    }
  });

  it('take a density like the prior that it is', () => {
    const density = { prior: 'density', density: normalDensity, from: -9, until: 9 } as const;
    const given = { tolerance, acceptance: tolerance, uncertainty: 0.25 };
    expect(globalRisks({ prior: density, ...given })).toEqual(globalRisks({ prior: normal, ...given }));
  });

  it('with one limit are half of those with two, far from the other', () => {
    const both = globalRisks({ prior: normal, tolerance, acceptance: tolerance, uncertainty: 0.25 });
    for (const one of [{ low: -2 }, { high: 2 }]) {
      const half = globalRisks({ prior: normal, tolerance: one, acceptance: one, uncertainty: 0.25 });
      expect(half.falseAcceptance * 2).toBeCloseTo(both.falseAcceptance, 10);
      expect(half.falseRejection * 2).toBeCloseTo(both.falseRejection, 10);
    }
  });

  it('find narrow things: an uncertainty of a thousandth, and limits far out', () => {
    const { falseAcceptance } = globalRisks({
      prior: normal,
      tolerance,
      acceptance: tolerance,
      uncertainty: 0.001,
    });
    // To first order: two limits, the density there, and the mean overshoot u/√2π.
    expect(falseAcceptance / ((2 * normalDensity(2) * 0.001) / Math.sqrt(2 * Math.PI))).toBeCloseTo(1, 2);
    const far = globalRisks({
      prior: normal,
      tolerance: { high: 20 },
      acceptance: { high: 20 },
      uncertainty: 1,
    });
    expect(far).toMatchObject({ nonconforming: 0, falseAcceptance: 0 });
    const none = globalRisks({
      prior: normal,
      tolerance: { low: 20, high: 21 },
      acceptance: { low: 0 },
      uncertainty: 1,
    });
    expect(none.nonconforming).toBeCloseTo(1, 12);
    expect(none.falseAcceptance).toBeCloseTo(0.5, 12);
    expect(none.falseRejection).toBe(0);
  });

  it('of a gamma prior: a shape of one is the exponential distribution', () => {
    const prior = { prior: 'gamma', shape: 1, scale: 0.5 } as const;
    const { nonconforming } = globalRisks({
      prior,
      tolerance: { high: 2 },
      acceptance: { high: 2 },
      uncertainty: 0.1,
    });
    expect(nonconforming).toBeCloseTo(Math.exp(-4), 12);
  });
});
