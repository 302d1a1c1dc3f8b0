import { combine, coverageFactor, Rational, rootOf, type UncertainReading } from '@ferrule/engine';
import { describe, expect, it, test } from 'vitest';

function exact(text: string): Rational {
  const value = Rational.parse(text);
  if (value === undefined) throw new Error(text);
  return value;
}

/** A part of a budget: each comes from an instrument of its own. */
const part = (kind: string, more: Partial<UncertainReading>): UncertainReading => ({
  coefficient: Rational.one,
  resolution: Rational.zero,
  kind,
  ...more,
});
const stated = (kind: string, u: string, degreesOfFreedom?: number): UncertainReading =>
  part(kind, {
    calibration: { standard: exact(u), ...(degreesOfFreedom === undefined ? {} : { degreesOfFreedom }) },
  });
const root = (parts: readonly UncertainReading[], digits: number): string =>
  rootOf(combine(parts).variance, digits, 'nearest')
    .toDecimal(6)
    .replace(/\.?0+$/, '');

describe('single parts', () => {
  test('between 7 and 10 with nothing known in between: u = 0.87 (Eurachem QUAM, Appendix E.1; read)', () => {
    expect(root([part('a', { halfWidth: exact('1.5') })], 2)).toBe('0.87');
  });

  test('a step of 0.001 mm: u = 0.00029 mm (micrometer by the GUM, talalspecialbolt.com; read)', () => {
    expect(root([part('a', { resolution: exact('0.001') })], 2)).toBe('0.00029');
  });
});

describe('JCGM 100:2008, H.1: calibration of an end gauge (as worked in MSLNZ/GTC, GUM_H1.rst; read)', () => {
  const budget = [
    stated('standard', '25'),
    stated('repeatability of the difference', '5.8'),
    stated('comparator, random', '3.9'),
    stated('comparator, systematic', '6.7'),
    // In nm: length × temperature × difference of expansion, and length × expansion × difference of temperature.
    part('difference of expansion', { coefficient: exact('5000062.3'), halfWidth: exact('0.000001') }),
    part('difference of temperature', {
      coefficient: exact('50000623').times(exact('0.0000115')),
      halfWidth: exact('0.05'),
    }),
  ];

  it('has a combined standard uncertainty of 32 nm', () => {
    expect(root(budget, 2)).toBe('32');
    expect(Math.abs(Number(root(budget, 6)) - 31.664)).toBeLessThan(0.005);
  });

  it('has a length of 50.000 838 mm', () => {
    expect(exact('50.000623').plus(exact('0.000215')).equals(exact('50.000838'))).toBe(true);
  });

  const short = [
    stated('a', '25', 18),
    stated('b', '9.7', 25.6),
    stated('c', '2.9', 50),
    stated('d', '16.6', 2),
  ];

  it('has 16.7 effective degrees of freedom, not the 17.5 of a rounded 32 nm (inputs read in cran/propagate, WelchSatter.Rd; result memory)', () => {
    const { degreesOfFreedom } = combine(short);
    expect(Math.abs(degreesOfFreedom - 16.75)).toBeLessThan(0.05);
  });

  it('so U = 93 nm for 99 % (memory)', () => {
    const { degreesOfFreedom } = combine(short);
    expect(Math.abs(32 * (coverageFactor(0.99, degreesOfFreedom) ?? 0) - 93)).toBeLessThan(0.5);
  });
});

test('NIST TN 1297, Appendix D.2, Table D.1: nine parts come to 34 nm (read)', () => {
  const parts = ['25', '5.8', '3.9', '6.7', '1.7', '5.8', '10.2', '2.9', '16.6'];
  const budget = parts.map((u, place) => stated(`part ${place}`, u));
  expect(root(budget, 2)).toBe('34');
  expect(root(budget, 4)).toBe('33.81');
});
