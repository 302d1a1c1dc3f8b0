import { describe, expect, test } from 'vitest';
import { combine, parsePermissibleError, rootOf, type UncertainReading } from '../../src/measure/index.ts';
import { parseQuantity, type Quantity, Rational } from '../../src/quantity/index.ts';

const rational = (text: string): Rational => {
  const value = Rational.parse(text);
  if (value === undefined) throw new Error(text);
  return value;
};
const reading = (more: Partial<UncertainReading> & { readonly c?: string } = {}): UncertainReading => ({
  coefficient: rational(more.c ?? '1'),
  resolution: Rational.zero,
  kind: 'caliper',
  identity: 'C-1',
  ...more,
});
const variance = (...readings: readonly UncertainReading[]): string =>
  combine(readings).variance.toFraction();

describe('one reading', () => {
  test.each([
    ['a step of 0.01 mm: d²/12 (JCGM 100, F.2.2.1)', { resolution: rational('0.01') }, '1/120000'],
    ['an error of ± 0.03 mm: a²/3 (4.3.7)', { halfWidth: rational('0.03') }, '3/10000'],
    ['U = 0.004 mm with k = 2: (U/k)² (4.3.3)', { calibration: { standard: rational('0.002') } }, '1/250000'],
    [
      'from repeats (4.2.3)',
      { repeatability: { variance: rational('0.000025'), degreesOfFreedom: 4 } },
      '1/40000',
    ],
    ['with a coefficient of −2', { c: '-2', halfWidth: rational('0.03') }, '3/2500'],
    [
      'all together',
      {
        resolution: rational('0.01'),
        halfWidth: rational('0.03'),
        calibration: { standard: rational('0.002') },
      },
      rational('1/120000').plus(rational('0.0003')).plus(rational('0.000004')).toFraction(),
    ],
  ] as const)('%s', (_, more, expected) => {
    expect(variance(reading(more))).toBe(expected);
  });

  test('what is common and what is not add up to the whole', () => {
    const whole = variance(reading({ halfWidth: rational('0.03') }));
    expect(variance(reading({ halfWidth: rational('0.03'), commonHalfWidth: rational('0.02') }))).toBe(whole);
  });
});

describe('two readings with one instrument, ± 0.003 mm', () => {
  const error = { halfWidth: rational('0.003') };
  const shared = { ...error, commonHalfWidth: rational('0.003') };
  const half = { ...error, commonHalfWidth: rational('0.002') };
  // a² = 9e-6; one reading has 3e-6.
  test.each([
    ['a difference, nothing stated: as if independent, the worse', error, '-1', '3/500000'],
    ['a sum, nothing stated: as if wholly shared, the worse', error, '1', '3/250000'],
    ['a difference, all of it common: it cancels', shared, '-1', '0'],
    ['a sum, all of it common', shared, '1', '3/250000'],
    ['a difference, 0.002 mm of it common: 2·(9 − 4)e-6/3', half, '-1', '1/300000'],
  ] as const)('%s', (_, more, sign, expected) => {
    expect(variance(reading(more), reading({ ...more, c: sign }))).toBe(expected);
  });

  test('by two instruments nothing is shared, whatever is stated', () => {
    expect(variance(reading(shared), reading({ ...shared, c: '-1', identity: 'C-2' }))).toBe('3/500000');
    expect(variance(reading(error), reading({ ...error, identity: 'C-2' }))).toBe('3/500000');
  });

  test('where it is not known which instrument it was, nothing cancels', () => {
    const { identity: _, ...unknown } = reading(shared);
    expect(variance(unknown, { ...unknown, coefficient: Rational.of(-1) })).toBe('3/500000');
  });

  test('a mean of four is no better than the instrument', () => {
    const quarter = { ...error, c: '1/4' };
    const mean = [1, 2, 3, 4].map(() => reading(quarter));
    expect(variance(...mean)).toBe(variance(reading(error)));
  });

  test('resolution is each reading’s own', () => {
    const fine = { resolution: rational('0.001') };
    expect(variance(reading(fine), reading({ ...fine, c: '-1' }))).toBe('1/6000000');
  });
});

describe('degrees of freedom and coverage factor', () => {
  test('many where nothing was estimated: k = 2', () => {
    const { degreesOfFreedom, coverageFactor } = combine([reading({ halfWidth: rational('0.03') })]);
    expect([degreesOfFreedom, coverageFactor.toFraction()]).toEqual([Number.POSITIVE_INFINITY, '2']);
  });

  // t for 95.45 %: 4.53 with two degrees of freedom, 2.87 with four (JCGM 100, Table G.2, from memory).
  test.each([
    [2, '4.53'],
    [4, '2.87'],
    [10, '2.28'],
  ])('repeats alone with %d: k = %s', (degreesOfFreedom, k) => {
    const found = combine([reading({ repeatability: { variance: rational('1'), degreesOfFreedom } })]);
    expect(found.degreesOfFreedom).toBe(degreesOfFreedom);
    expect(Math.abs(found.coverageFactor.toNumber() - Number(k))).toBeLessThan(0.0101);
    expect(found.coverageFactor.compare(rational(k)) >= 0).toBe(true);
  });

  test('a large part that is well known brings them up again', () => {
    const found = combine([
      reading({ halfWidth: rational('3'), repeatability: { variance: rational('1'), degreesOfFreedom: 2 } }),
    ]);
    // u⁴/(s⁴/ν) = (3 + 1)²/(1/2)
    expect(found.degreesOfFreedom).toBe(32);
  });

  test('repeats that all agree leave nothing estimated', () => {
    const found = combine([
      reading({ halfWidth: rational('3'), repeatability: { variance: Rational.zero, degreesOfFreedom: 2 } }),
    ]);
    expect(found.degreesOfFreedom).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('JCGM 100:2008 H.1, end gauge: components read in GTC’s worked example (MSLNZ/GTC, docs/API/GUM_H1.rst)', () => {
  test('u(l) is 32 nm from components of 25, 5.8, 3.9, 6.7, 2.9 and 16.6 nm', () => {
    const found = combine(
      ['25', '5.8', '3.9', '6.7', '2.9', '16.6'].map((standard, place) =>
        reading({ calibration: { standard: rational(standard) }, identity: `part ${place}` }),
      ),
    );
    expect(rootOf(found.variance, 2, 'nearest').toFraction()).toBe('32');
  });
});

describe('what an instrument may be off by', () => {
  const quantity = (text: string): Quantity => {
    const read = parseQuantity(text);
    if (!('quantity' in read)) throw new Error(text);
    return read.quantity;
  };
  const bar = [quantity('0 bar'), quantity('10 bar')] as const;
  test.each([
    ['0.15 bar', '3/20', '0'],
    ['4 % of indication', '0', '1/25'],
    ['1.6 % of range', '4/25', '0'],
    ['1,6 % of range', '4/25', '0'],
    ['0.1 bar + 1 % of indication', '1/10', '1/100'],
    ['10 kPa + 1 % of indication + 1 % of range', '1/5', '1/100'],
  ])('%s', (text, fixed, share) => {
    const found = parsePermissibleError(text, 'pressure', bar);
    expect([found?.fixed.toFraction(), found?.share.toFraction()]).toEqual([fixed, share]);
  });

  test.each([
    '',
    '0.15',
    '0.15 mm',
    '-0.15 bar',
    '0 bar',
    '0.00 bar + 0 % of range',
    '4 %',
    '4 % of reading',
    '± 0.15 bar',
    '0.1 bar +',
    'x'.repeat(90),
  ])('"%s" is none', (text) => {
    expect(parsePermissibleError(text, 'pressure', bar)).toBeUndefined();
  });

  test('a temperature has no share of its indication; its error is a difference', () => {
    const range = [quantity('0 °C'), quantity('120 °C')] as const;
    expect(parsePermissibleError('1 % of indication', 'temperature', range)).toBeUndefined();
    expect(parsePermissibleError('2 K', 'temperature', range)?.fixed.toFraction()).toBe('2');
    expect(parsePermissibleError('2 °C', 'temperature', range)).toBeUndefined();
  });
});
