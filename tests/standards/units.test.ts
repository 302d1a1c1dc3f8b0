import { createRequire } from 'node:module';
import { describe, expect, it } from 'vitest';
import {
  baseUnit,
  convert,
  findUnit,
  type Kind,
  parseQuantity,
  Rational,
  type Unit,
  units,
  valueIn,
} from '../../packages/engine/src/quantity/index.ts';

interface Ucum {
  convertUnitTo(
    from: string,
    value: number,
    to: string,
  ): { readonly status: string; readonly toVal: number | null };
}
const { UcumLhcUtils }: { UcumLhcUtils: { getInstance(): Ucum } } = createRequire(import.meta.url)(
  '@lhncbc/ucum-lhc',
);
const ucum = UcumLhcUtils.getInstance();

function exact(text: string): Rational {
  const value = Rational.parse(text);
  if (value === undefined) throw new Error(text);
  return value;
}

function unit(symbol: string, kind?: Kind): Unit {
  const found = findUnit(symbol, kind);
  if (found === undefined) throw new Error(symbol);
  return found;
}

/** How many of `to` are in one of `from`. */
const factor = (from: string, to: string): Rational => unit(from).factor.over(unit(to).factor);

const apart = (found: Rational, expected: Rational): number =>
  found.minus(expected).over(expected).abs().toNumber();

const UCUM = 'UCUM essence v2.2 (read), product of its definitions';
const SP811 = 'NIST SP 811, Appendix B.8, seven figures (read)';

describe('a unit in another, against published values', () => {
  it.each([
    ['in', 'mm', '25.4', 1e-15, UCUM],
    ['lbf', 'N', '4.4482216152605', 1e-15, UCUM],
    ['lbf', 'N', '4.448222', 5e-7, SP811],
    ['psi', 'Pa', '6894.757293168361', 1e-15, UCUM],
    ['psi', 'Pa', '6894.757', 5e-7, SP811],
    ['lbf·ft', 'N·m', '1.3558179483314004', 1e-15, UCUM],
    ['lbf·ft', 'N·m', '1.355818', 5e-7, SP811],
    ['lbf·in', 'N·m', '0.1129848290276167', 1e-15, UCUM],
    ['lbf·in', 'N·m', '0.1129848', 5e-7, SP811],
    ['kgf·m', 'N·m', '9.80665', 1e-15, UCUM],
    ['kgf/cm²', 'Pa', '98066.5', 1e-15, UCUM],
    ['at', 'Pa', '98066.5', 1e-15, UCUM],
    ['bar', 'Pa', '100000', 1e-15, UCUM],
    ['atm', 'Pa', '101325', 1e-15, UCUM],
    ['gal', 'L', '3.785411784', 1e-15, UCUM],
    ['mm³', 'L', '0.000001', 1e-15, UCUM],
    ['mil', 'mm', '0.0254', 1e-15, UCUM],
    ['inHg', 'Pa', '3386.389', 5e-7, 'NIST SP 811, Appendix B.8, conventional inch of mercury (read)'],
  ])('1 %s in %s is %s (relative %s): %s%s', (from, to, expected, tolerance) => {
    expect(apart(factor(from, to), exact(expected))).toBeLessThanOrEqual(tolerance);
  });

  it('UCUM has another inch of mercury, 3.0e-6 away from the conventional one (UCUM essence v2.2, read)', () => {
    const ratio = apart(factor('inHg', 'Pa'), exact('3386.3788'));
    expect(ratio).toBeGreaterThan(2.8e-6);
    expect(ratio).toBeLessThan(3.1e-6);
  });

  it.each([
    ['°', 'rad', 'deg', '0.017453292519943295'],
    ['r/min', 'rad/s', 'circ/min', '0.10471975511965977'],
  ])(
    '1 %s in %s: the value is irrational, so only the turn is checked: %s × %s (UCUM, read)',
    (symbol, _to, code, radians) => {
      // The degree is 1/360 of a turn and the revolution per minute 6 °/s; in radians both carry the factor 2π.
      const turns = symbol === '°' ? unit('°').factor.over(unit('turn').factor) : Rational.of(1, 60);
      expect(unit(symbol).ucum).toBe(code);
      expect(Math.abs((turns.toNumber() * 2 * Math.PI) / Number(radians) - 1)).toBeLessThan(1e-15);
    },
  );

  it.each([
    ['212 °F', '100'], // UCUM: degf(5 K/9); its zero 459.67 is recalled from memory
    ['32 °F', '0'],
    ['-40 °F', '-40'],
    ['273.15 K', '0'], // SP 811, B.8: t/°C = T/K − 273.15 (memory)
  ])('%s is %s °C exactly', (text, celsius) => {
    const read = parseQuantity(text, 'temperature');
    expect('quantity' in read && valueIn(read.quantity, unit('°C')).toFraction()).toBe(celsius);
  });

  it('200 bar is 2900.7547546041847 psi (computed from the definitions)', () => {
    const read = parseQuantity('200 bar');
    expect(
      'quantity' in read && apart(valueIn(read.quantity, unit('psi')), exact('2900.7547546041847')),
    ).toBeLessThan(1e-14);
    expect('quantity' in read && convert(read.quantity, unit('psi'), 4).digits).toBe('2900.7548');
  });
});

describe('exact definitions, factor by factor (NIST SP 811, Appendix B; from memory where not in the list above)', () => {
  it.each([
    ['ft', 'in', '12'],
    ['lb', 'g', '453.59237'],
    ['lb', 'oz', '16'],
    ['kgf', 'N', '9.80665'],
    ['gal', 'mL', '3785.411784'],
    ['gal', 'qt', '4'],
    ['qt', 'fl oz', '32'],
    ['lbf·ft', 'lbf·in', '12'],
    ['kgf·m', 'kgf·cm', '100'],
    ['turn', '°', '360'],
    ['mmH₂O', 'Pa', '9.80665'],
    ['inH₂O', 'mmH₂O', '25.4'],
    ['inHg', 'mmHg', '25.4'],
    ['mmHg', 'mmH₂O', '13.5951'],
    ['Δ°F', 'Δ°C', '5/9'],
    ['L/h', 'mL/min', '50/3'],
    ['cm³/1000 st', 'mm³/st', '1'],
    ['%', 'ppm', '10000'],
  ])('1 %s is %s × %s', (from, to, expected) => {
    expect(factor(from, to).equals(exact(expected))).toBe(true);
  });
});

describe('every unit of the table against @lhncbc/ucum-lhc, relative 2e-15', () => {
  /** UCUM defines its columns of mercury by 133.3220 kPa per metre; the table uses the conventional ones. */
  const otherDefinition = new Set(['inHg', 'mmHg']);

  it.each(units.map((one) => [one.symbol || '1', one.kind, one] as const))(
    '%s (%s)',
    (_symbol, kind, one) => {
      const base = baseUnit(kind);
      const scale = kind === 'temperature-difference' ? 'K' : base.ucum;
      // At two points, so that an offset shows as well as a factor.
      for (const value of [1, 250]) {
        const theirs = ucum.convertUnitTo(one.ucum, value, scale);
        expect(theirs.status, one.ucum).toBe('succeeded');
        const ours = one.factor
          .times(Rational.of(value))
          .plus(one.offset ?? Rational.zero)
          .toNumber();
        const gap = Math.abs((theirs.toVal ?? Number.NaN) - ours) / (kind === 'temperature' ? 273.15 : ours);
        if (otherDefinition.has(one.symbol)) {
          expect(gap).toBeGreaterThan(2e-6);
          expect(gap).toBeLessThan(4e-6);
        } else expect(gap).toBeLessThan(2e-15);
      }
    },
  );

  it('reads compound codes alike: 10 bar/mm', () => {
    const theirs = ucum.convertUnitTo(unit('bar/mm').ucum, 10, 'kPa/cm');
    expect(factor('bar/mm', 'kPa/cm').times(Rational.of(10)).toNumber()).toBe(theirs.toVal);
  });
});
