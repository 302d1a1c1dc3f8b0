import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type DecisionRule,
  type Judgeable,
  judge,
  type Uncertainty,
  type Verdict,
  verdictTable,
} from '../../src/measure/index.ts';
import { type Amount, Rational } from '../../src/quantity/index.ts';

const rational = (text: string): Rational => {
  const value = Rational.parse(text);
  if (value === undefined) throw new Error(text);
  return value;
};
const length = (text: string): Amount => ({ kind: 'length', value: rational(text) });
const capability = Rational.of(4);
const guarded = (
  rule: 'guarded-acceptance' | 'guarded-rejection' | 'guarded-both',
  r = '1',
): DecisionRule => ({
  rule,
  guardBand: rational(r),
});
const simple: DecisionRule = { rule: 'simple', warnAbove: Rational.of(1, 10) };

/** U with k = 2, so u is half of it. */
const expanded = (u: string): Uncertainty => ({
  variance: rational(u).times(rational(u)).over(Rational.of(4)),
  degreesOfFreedom: Number.POSITIVE_INFINITY,
  coverageFactor: Rational.of(2),
});

function verdict(
  rule: DecisionRule,
  value: string,
  u: string | undefined,
  low?: string,
  high?: string,
): Verdict {
  const tolerance: Judgeable = {
    limits: {
      ...(low === undefined ? {} : { low: length(low) }),
      ...(high === undefined ? {} : { high: length(high) }),
    },
    rule,
    capability,
  };
  return judge(tolerance, {
    amount: length(value),
    ...(u === undefined ? {} : { uncertainty: expanded(u) }),
  });
}

function said(one: Verdict): string {
  if (one.verdict === 'inconclusive') return `inconclusive ${one.because}`;
  return one.verdict === 'nonconforming' ? one.side : one.verdict;
}

describe('a travel of 19.18 mm against at most 19.20 mm, read with a caliper that is good to 0.03 mm', () => {
  test('proves nothing by a guarded rule, and is doubtful by the simple one', () => {
    expect(said(verdict(guarded('guarded-acceptance'), '19.18', '0.03', undefined, '19.20'))).toBe(
      'inconclusive inside-guard-band',
    );
    const plain = verdict(simple, '19.18', '0.03', undefined, '19.20');
    expect(plain.verdict).toBe('conforming');
    // z = 0.02/0.015 = 1.333: Φ = 0.908789; a wrong acceptance in 9.1 % is not above 10 %.
    expect('assessment' in plain && plain.assessment?.millionths).toBe(908_788);
    expect('assessment' in plain && plain.assessment?.isDoubtful).toBe(false);
    const nearer = verdict(simple, '19.19', '0.03', undefined, '19.20');
    expect('assessment' in nearer && nearer.assessment?.isDoubtful).toBe(true);
  });
});

describe('each rule by zone, limits −10 to 10, U = 1 (C_m = 10)', () => {
  test.each([
    ['guarded-acceptance', '9', 'conforming'],
    ['guarded-acceptance', '9.000001', 'inconclusive inside-guard-band'],
    ['guarded-acceptance', '10', 'inconclusive inside-guard-band'],
    ['guarded-acceptance', '10.000001', 'high'],
    ['guarded-acceptance', '-10.000001', 'low'],
    ['guarded-rejection', '10', 'conforming'],
    ['guarded-rejection', '10.000001', 'inconclusive inside-guard-band'],
    ['guarded-rejection', '-10.999999', 'inconclusive inside-guard-band'],
    ['guarded-rejection', '-11', 'low'],
    ['guarded-both', '-9', 'conforming'],
    ['guarded-both', '-9.5', 'inconclusive inside-guard-band'],
    ['guarded-both', '10.5', 'inconclusive inside-guard-band'],
    ['guarded-both', '11', 'high'],
  ] as const)('%s at %s: %s', (rule, value, expected) => {
    expect(said(verdict(guarded(rule), value, '1', '-10', '10'))).toBe(expected);
  });

  test.each([
    ['0.5', '9.5', 'conforming'],
    ['0.5', '9.500001', 'inconclusive inside-guard-band'],
    ['2', '8', 'conforming'],
    ['2', '8.000001', 'inconclusive inside-guard-band'],
  ])('a guard band of %s × U at %s: %s', (r, value, expected) => {
    expect(said(verdict(guarded('guarded-acceptance', r), value, '1', '-10', '10'))).toBe(expected);
  });
});

describe('an instrument that is too coarse (U = 4, C_m = 2.5)', () => {
  test.each([
    ['guarded-acceptance', '6', 'conforming'],
    ['guarded-acceptance', '7', 'inconclusive instrument-too-coarse'],
    ['guarded-acceptance', '11', 'inconclusive instrument-too-coarse'],
    ['guarded-acceptance', '14', 'high'],
    ['guarded-rejection', '7', 'inconclusive instrument-too-coarse'],
    ['guarded-rejection', '-13', 'inconclusive instrument-too-coarse'],
    ['guarded-rejection', '-14', 'low'],
  ] as const)('%s at %s: %s', (rule, value, expected) => {
    expect(said(verdict(guarded(rule), value, '4', '-10', '10'))).toBe(expected);
  });

  test('with U = 11 nothing conforms any more', () => {
    expect(said(verdict(guarded('guarded-acceptance'), '0', '11', '-10', '10'))).toBe(
      'inconclusive instrument-too-coarse',
    );
  });
});

describe('a probability of 95 %', () => {
  const rule: DecisionRule = { rule: 'probability', atLeast: Rational.of(95, 100) };
  // JCGM 106:2012, 8.3.2.2 and Table 1 (from memory): one-sided, 1.645 u inside the limit.
  test.each([
    ['8.355', 'conforming'],
    ['8.356', 'inconclusive inside-guard-band'],
    ['10', 'inconclusive inside-guard-band'],
    ['11.644', 'inconclusive inside-guard-band'],
    ['11.645', 'high'],
  ])('at %s with u = 1 and at most 10: %s', (value, expected) => {
    expect(said(verdict(rule, value, '2', undefined, '10'))).toBe(expected);
  });

  test('a value inside its limits never comes out nonconforming, however coarse the instrument', () => {
    expect(said(verdict(rule, '0', '100', '-10', '10'))).toBe('inconclusive instrument-too-coarse');
  });
});

describe('what is not known', () => {
  test.each(['guarded-acceptance', 'guarded-rejection', 'guarded-both'] as const)(
    '%s decides nothing',
    (rule) => {
      expect(said(verdict(guarded(rule), '0', undefined, '-10', '10'))).toBe(
        'inconclusive uncertainty-unknown',
      );
      expect(said(verdict(guarded(rule), '99', undefined, '-10', '10'))).toBe(
        'inconclusive uncertainty-unknown',
      );
    },
  );

  test('the simple rule decides by the value alone, and says nothing of a probability', () => {
    const plain = verdict(simple, '10', undefined, '-10', '10');
    expect(plain).toEqual({ verdict: 'conforming', value: length('10'), margin: length('0') });
  });

  test('without any uncertainty every rule is the simple one, limits included', () => {
    for (const rule of [
      guarded('guarded-acceptance'),
      guarded('guarded-rejection'),
      guarded('guarded-both'),
    ]) {
      expect(said(verdict(rule, '10', '0', '-10', '10'))).toBe('conforming');
      expect(said(verdict(rule, '10.000001', '0', '-10', '10'))).toBe('high');
    }
  });
});

describe('the edge of a guard band is exact', () => {
  test('where a double would be off: 0.3 − 0.1 is 0.2', () => {
    expect(said(verdict(guarded('guarded-acceptance'), '0.1', '0.2', undefined, '0.3'))).toBe('conforming');
    expect(
      said(verdict(guarded('guarded-acceptance'), '0.1000000000000000001', '0.2', undefined, '0.3')),
    ).toBe('inconclusive inside-guard-band');
  });

  const whole = fc.integer({ min: -100_000, max: 100_000 });
  test('for any value, limit and U the band begins where margin = U, to the last digit', () => {
    fc.assert(
      fc.property(
        whole,
        fc.integer({ min: 1, max: 50_000 }),
        fc.integer({ min: 0, max: 4 }),
        (at, u, places) => {
          const scale = Rational.of(1, 10 ** places);
          const text = (n: number): string => Rational.of(n).times(scale).toFraction();
          const near = Rational.of(at - u).times(scale);
          const rule = guarded('guarded-acceptance');
          const on = judge(
            { limits: { high: length(text(at)) }, rule, capability },
            { amount: { kind: 'length', value: near }, uncertainty: expanded(text(u)) },
          );
          const over = judge(
            { limits: { high: length(text(at)) }, rule, capability },
            {
              amount: { kind: 'length', value: near.plus(Rational.of(1n, 10n ** 30n)) },
              uncertainty: expanded(text(u)),
            },
          );
          expect(on.verdict).toBe('conforming');
          expect(over.verdict).toBe('inconclusive');
        },
      ),
    );
  });
});

describe('properties of the table', () => {
  test('a finer instrument never turns a decided verdict round', () => {
    const rules = Object.keys(verdictTable).map((name) =>
      name === 'simple'
        ? simple
        : name === 'probability'
          ? ({ rule: name, atLeast: Rational.of(95, 100) } as const)
          : guarded(name as 'guarded-both'),
    );
    fc.assert(
      fc.property(
        fc.constantFrom(...rules),
        fc.integer({ min: -2000, max: 2000 }),
        fc.integer({ min: 1, max: 3000 }),
        fc.integer({ min: 1, max: 3000 }),
        (rule, value, one, other) => {
          const [fine, coarse] = [Math.min(one, other), Math.max(one, other)].map((u) =>
            said(verdict(rule, `${value}/100`, `${u}/100`, '-10', '10')),
          );
          if (coarse === undefined || coarse.startsWith('inconclusive')) return;
          expect(fine).toBe(coarse);
        },
      ),
    );
  });

  test('one uncertainty says of several tolerances in turn what a new one says of each', () => {
    const tolerance = fc
      .record({
        width: fc.integer({ min: 1, max: 200 }),
        times: fc.integer({ min: 1, max: 30 }),
        rule: fc.constantFrom('guarded-acceptance', 'guarded-rejection', 'guarded-both'),
        index: fc.integer({ min: 1, max: 20 }),
      })
      .map(
        ({ width, times, rule, index }): Judgeable => ({
          limits: { low: length(`-${width}/10`), high: length(`${width}/10`) },
          rule: guarded(rule as 'guarded-both', `${times}/10`),
          capability: Rational.of(index, 2),
        }),
      );
    fc.assert(
      fc.property(
        fc.array(fc.tuple(tolerance, fc.integer({ min: -250, max: 250 })), { minLength: 2, maxLength: 6 }),
        fc.integer({ min: 1, max: 40 }),
        (asked, u) => {
          const shared = expanded(`${u}/10`);
          const answers = (uncertainty: () => Uncertainty) =>
            [...asked, ...asked].map(([one, value]) =>
              said(judge(one, { amount: length(`${value}/10`), uncertainty: uncertainty() })),
            );
          expect(answers(() => shared)).toEqual(answers(() => expanded(`${u}/10`)));
        },
      ),
    );
  });

  test('what conforms lies inside its limits, and what does not lies outside', () => {
    for (const { suffices, coarse } of Object.values(verdictTable)) {
      for (const row of [suffices, coarse]) {
        expect(row.inside).not.toBe('nonconforming');
        expect(row['inside-band']).not.toBe('nonconforming');
        expect(row['outside-band']).not.toBe('conforming');
        expect(row.outside).toBe('nonconforming');
      }
    }
  });
});
