import { describe, expect, it } from 'vitest';
import {
  baseUnit,
  findUnit,
  type Kind,
  nearUnits,
  plainKinds,
  Rational,
  units,
  unitsOf,
} from '../../src/quantity/index.ts';

describe('finding a unit', () => {
  it.each([
    ['N·m', ['N·m', 'N⋅m', 'N•m', 'N.m', 'N*m', 'N m', 'N\u00A0m', 'N\u202Fm', 'N × m', 'Nm', 'N-m', 'N‑m']],
    ['lbf·ft', ['lbf·ft', 'lbf.ft', 'lbf ft', 'ft-lb', 'ft–lbf', 'lb-ft', 'ft·lbs', 'ft.lbf']],
    ['lbf·in', ['lbf·in', 'in-lb', 'lb·in', 'in.-lb.']],
    ['µm', ['\u00B5m', '\u03BCm', 'um', 'micron']],
    ['Ω', ['\u03A9', '\u2126', 'ohm']],
    ['°', ['°', 'º', '˚', 'deg']],
    ['°C', ['°C', '° C', 'ºC', '\u2103', 'deg C', 'degC', 'C']],
    ['Δ°C', ['Δ°C', '\u2206°C', 'Δ °C', 'delta degC']],
    ['kgf/cm²', ['kgf/cm²', 'kgf/cm2', 'kgf/cm^2', 'kgf / cm²', 'kg/cm2']],
    ['mm³/st', ['mm³/st', 'mm3/stroke', 'µL/st', 'mm³ / st']],
    ['cm³/1000 st', ['cm³/1000 st', 'cc/1000 strokes', 'mL/1000 st']],
    ['in', ['in', 'in.', 'inch', '"', '″']],
    ['r/min', ['r/min', 'rpm', 'RPM', '1/min', 'min⁻¹', '/min']],
    ['inH₂O', ['inH₂O', 'inH2O', 'in H2O']],
    ['fl oz', ['fl oz', 'fl\u00A0oz', 'US fl oz']],
  ])('%s, however it is pasted', (symbol, spellings) => {
    for (const spelling of spellings) expect(findUnit(spelling)?.symbol, spelling).toBe(symbol);
  });

  it.each([
    '',
    'MM',
    'rad',
    'bar/',
    '/mm',
    'bar//mm',
    'mm/%',
    'bar/°C',
    'toString',
    '__proto__',
    'constructor/mm',
  ])('"%s" is none', (text) => {
    expect(findUnit(text)).toBeUndefined();
  });

  it('takes K for what is expected, and for a difference where nothing is', () => {
    expect(findUnit('K', 'temperature')?.kind).toBe('temperature');
    expect(findUnit('K')?.kind).toBe('temperature-difference');
    expect(findUnit('°C', 'temperature-difference')?.kind).toBe('temperature');
  });

  it.each<[string, Kind, string]>([
    ['bar/mm', 'pressure per length', '1'],
    ['psi/in', 'pressure per length', '8896443230521/3277412800000000'],
    ['N·m/°', 'torque per angle', '1'],
    ['bar/min', 'pressure per time', '1/60'],
    ['bar/K', 'pressure per temperature-difference', '1'],
    ['L/s', 'flow', '60000'],
    ['°/s', 'rotational-speed', '1/6'],
    ['mL/st', 'delivery', '1000'],
    ['mm/m', 'ratio', '1/1000'],
    ['V/A', 'resistance', '1'],
  ])('makes up %s, a %s of %s', (text, kind, factor) => {
    const unit = findUnit(text);
    expect(unit?.kind).toBe(kind);
    expect(unit?.factor.toFraction()).toBe(factor);
  });
});

describe('the table', () => {
  it('has a base unit of factor one for every kind, listed first', () => {
    for (const kind of plainKinds) {
      expect(baseUnit(kind).factor.equals(Rational.one)).toBe(true);
      expect(unitsOf(kind)[0]).toBe(baseUnit(kind));
    }
    expect(baseUnit('pressure per length').symbol).toBe('bar/mm');
  });

  it('has no spelling that means two units, the kelvin of a difference apart', () => {
    const spoken = new Map<string, string>();
    for (const unit of units) {
      for (const spelling of [unit.symbol, ...unit.also]) {
        if (spelling === '' || spelling === 'K' || spelling === 'kelvin') continue;
        expect(spoken.get(spelling), spelling).toBeUndefined();
        spoken.set(spelling, unit.name);
        expect(findUnit(spelling), spelling).toBe(unit);
      }
    }
    expect(spoken.size).toBeGreaterThan(150);
  });
});

describe('did you mean', () => {
  it.each<[string, Kind | undefined, readonly string[]]>([
    ['MM', 'length', ['mm']],
    ['Lbf.ft', undefined, ['lbf·ft']],
    ['bra', 'pressure', ['bar']],
    ['ddeg', 'angle', ['°']],
    ['qqqqqq', 'length', []],
  ])('%s (%s): %s', (text, kind, expected) => {
    expect(nearUnits(text, kind).slice(0, Math.max(1, expected.length))).toEqual(expected);
  });
});
