import { Rational, rootOf, summarise } from '@ferrule/engine';
import { describe, expect, it } from 'vitest';
import { criticalSquare, outlierOf } from '../../packages/engine/src/measure/outlier.ts';
import { lottery, mavro, michelso } from './strd-data.ts';

function exact(text: string): Rational {
  const value = Rational.parse(text);
  if (value === undefined) throw new Error(text);
  return value;
}
const listed = (text: string): readonly string[] => text.trim().split(/\s+/);

/** The first value, then the other two in turn: how NIST defines its data sets of 1001 values. */
const pairs = (first: string, low: string, high: string): readonly string[] => [
  first,
  ...Array.from({ length: 500 }, () => [low, high]).flat(),
];

/**
 * Whether a value, rounded to the decimals of a certified one, has all of its digits. Certified values that NIST gives as
 * exact are compared as they are.
 */
const rounded = (value: Rational, certified: string): string =>
  value.toDecimal((certified.split('.')[1] ?? '').length);

describe('NIST Statistical Reference Datasets, to every certified digit', () => {
  // As carried by mathnet/mathnet-numerics, data/NIST (read). The numerical ones are made by their definition (read).
  it.each<[string, readonly string[], string, string]>([
    ['Michelso', listed(michelso), '299.852400000000', '0.0790105478190518'],
    ['Mavro', listed(mavro), '2.00185600000000', '0.000429123454003053'],
    ['Lottery', listed(lottery), '518.958715596330', '291.699727470969'],
    ['NumAcc1', ['10000001', '10000003', '10000002'], '10000002', '1'],
    ['NumAcc2', pairs('1.2', '1.1', '1.3'), '1.2', '0.1'],
    ['NumAcc3', pairs('1000000.2', '1000000.1', '1000000.3'), '1000000.2', '0.1'],
    ['NumAcc4', pairs('10000000.2', '10000000.1', '10000000.3'), '10000000.2', '0.1'],
  ])('%s', (_, values, mean, deviation) => {
    const found = summarise(values.map(exact));
    if (found?.variance === undefined) throw new Error('no variance');
    expect(rounded(found.mean, mean)).toBe(mean);
    expect(rounded(rootOf(found.variance, 18, 'nearest'), deviation)).toBe(deviation);
  });
});

describe('JCGM 100:2008, 4.4.3: twenty readings of a temperature (as quoted on weblims.cn, thread 1947; read)', () => {
  const readings = listed(`96.90 98.18 98.25 98.61 99.03 99.49 99.56 99.74 99.89 100.07
    100.33 100.42 100.68 100.95 101.11 101.20 101.57 101.84 102.36 102.72`).map(exact);
  const found = summarise(readings);

  it('have a mean of 100.14 °C, s = 1.49 K and s of the mean = 0.33 K (more digits computed)', () => {
    if (found?.variance === undefined || found.varianceOfMean === undefined) throw new Error('no variance');
    expect(found.mean.toFraction()).toBe(exact('100.145').toFraction());
    expect(rootOf(found.variance, 6, 'nearest').toDecimal(5)).toBe('1.48884');
    expect(rootOf(found.variance, 3, 'nearest').toDecimal(2)).toBe('1.49');
    expect(rootOf(found.varianceOfMean, 6, 'nearest').toDecimal(6)).toBe('0.332916');
    expect(rootOf(found.varianceOfMean, 2, 'nearest').toDecimal(2)).toBe('0.33');
    expect(found.degreesOfFreedom).toBe(19);
  });

  it('have no outlier by the test of Grubbs (computed: G = 2.18 against 2.71)', () => {
    expect(outlierOf(readings)).toBeUndefined();
  });
});

describe("critical values of Grubbs' test for one outlying observation, upper 5 %", () => {
  // ISO 5725-2:1994, Table 5, from memory; it prints three decimals, the last of some rounded up.
  it.each([
    [3, 1.155],
    [4, 1.481],
    [5, 1.715],
    [6, 1.887],
    [7, 2.02],
    [8, 2.126],
    [9, 2.215],
    [10, 2.29],
    [12, 2.412],
  ])('%i values: %d', (n, critical) => {
    expect(Math.abs(Math.sqrt(criticalSquare(n).toNumber()) - critical)).toBeLessThan(0.001);
  });
});

describe('JCGM 100:2008, H.2: resistance, reactance and impedance from five simultaneous readings', () => {
  // Readings and results as carried by sandialabs/suncal, test/test_GUMH2.csv (read); more digits computed.
  const volts = ['5.007', '4.994', '5.005', '4.990', '4.999'].map(exact);
  const amperes = ['0.019663', '0.019639', '0.019640', '0.019685', '0.019678'].map(exact);
  const angles = ['1.0456', '1.0438', '1.0468', '1.0428', '1.0433'].map(exact);
  const decimal = (value: number): Rational => exact(value.toFixed(15));
  const meanOf = (values: readonly Rational[]): Rational => summarise(values)?.mean ?? Rational.zero;

  /** The covariance of two means, by what the variances of their sum and their difference are apart. */
  function covariance(a: readonly Rational[], b: readonly Rational[]): Rational {
    const paired = (join: (x: Rational, y: Rational) => Rational): Rational => {
      const joined = a.map((x, i) => join(x, b[i] ?? Rational.zero));
      return summarise(joined)?.varianceOfMean ?? Rational.zero;
    };
    return paired((x, y) => x.plus(y))
      .minus(paired((x, y) => x.minus(y)))
      .over(Rational.of(4));
  }

  const inputs = [volts, amperes, angles];
  const [v, i, phi] = inputs.map(meanOf) as [Rational, Rational, Rational];
  const cosine = decimal(Math.cos(phi.toNumber()));
  const sine = decimal(Math.sin(phi.toNumber()));
  const z = v.over(i);
  const one = Rational.one;
  const zero = Rational.zero;
  /** Value and sensitivity coefficients to volts, amperes and radians. */
  const outputs: Readonly<Record<string, readonly [Rational, readonly Rational[]]>> = {
    R: [z.times(cosine), [cosine.over(i), z.times(cosine).over(i).negated(), z.times(sine).negated()]],
    X: [z.times(sine), [sine.over(i), z.times(sine).over(i).negated(), z.times(cosine)]],
    Z: [z, [one.over(i), z.over(i).negated(), zero]],
  };

  it.each([
    ['R', '127.732', '0.071', '127.73217', '0.07107'],
    ['X', '219.847', '0.295', '219.84651', '0.29558'],
    ['Z', '254.260', '0.236', '254.25970', '0.23634'],
  ])('%s = %s ± %s Ω by equation 16, with the covariances, exactly', (name, value, u, finer, finerU) => {
    const [found, coefficients] = outputs[name] ?? [zero, []];
    let variance = zero;
    for (const [a, ca] of coefficients.entries())
      for (const [b, cb] of coefficients.entries())
        variance = variance.plus(ca.times(cb).times(covariance(inputs[a] ?? [], inputs[b] ?? [])));
    expect(found.toDecimal(5)).toBe(finer);
    expect(rootOf(variance, 5, 'nearest').toDecimal(5)).toBe(finerU);
    expect(found.minus(exact(value)).abs().toNumber()).toBeLessThan(0.001);
    expect(rootOf(variance, 9, 'nearest').minus(exact(u)).abs().toNumber()).toBeLessThan(0.001);
  });

  it('|Z| = 254.260 ± 0.236 Ω from the quotient of each pair (the second approach of H.2.4)', () => {
    const found = summarise(volts.map((volt, k) => volt.over(amperes[k] ?? one)));
    if (found?.varianceOfMean === undefined) throw new Error('no variance');
    expect(found.mean.toDecimal(3)).toBe('254.260');
    expect(rootOf(found.varianceOfMean, 3, 'nearest').toDecimal(3)).toBe('0.236');
  });
});
