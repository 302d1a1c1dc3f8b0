import { describe, expect, it } from 'vitest';
import { describeQuantityFault, type Kind, parseQuantity, writeQuantity } from '../../src/quantity/index.ts';

describe('a value in a pack', () => {
  it.each<[string, Kind, string, string, number]>([
    ['19.20 mm', 'length', '96/5', '19.20 mm', 2],
    ['0.756 in', 'length', '24003/1250', '0.756 in', 3],
    ['4.0 N·m', 'torque', '4', '4.0 N·m', 1],
    ['35 ft-lb', 'torque', '23726814095799507/500000000000000', '35 lbf·ft', 0],
    ['210 bar', 'pressure', '210', '210 bar', 0],
    ['360°', 'angle', '360', '360°', 0],
    ['0.25 turn', 'angle', '90', '0.25 turn', 2],
    ['82 °C', 'temperature', '82', '82 °C', 0],
    ['180 °F', 'temperature', '740/9', '180 °F', 0],
    ['5 K', 'temperature-difference', '5', '5 K', 0],
    ['9 Δ°F', 'temperature-difference', '5', '9 Δ°F', 0],
    ['-0.50 mm', 'length', '-1/2', '-0.50 mm', 2],
    ['−0.50 mm', 'length', '-1/2', '-0.50 mm', 2],
    ['+0.5mm', 'length', '1/2', '0.5 mm', 1],
    ['200 cm³/1000 st', 'delivery', '200', '200 cm³/1000 st', 0],
    ['10 bar/mm', 'pressure per length', '10', '10 bar/mm', 0],
    ['4', 'count', '4', '4', 0],
    ['0.95', 'ratio', '19/20', '0.95', 2],
    ['95 %', 'ratio', '19/20', '95 %', 0],
    ['0 mm', 'length', '0', '0 mm', 0],
  ])('%s is a %s of %s', (text, kind, value, written, decimals) => {
    const read = parseQuantity(text);
    if ('fault' in read) throw new Error(describeQuantityFault(read.fault));
    expect(read.quantity.kind).toBe(kind);
    expect(read.quantity.value.toFraction()).toBe(value);
    expect(writeQuantity(read.quantity)).toBe(written);
    expect(read.quantity.decimals).toBe(decimals);
    expect(parseQuantity(text, kind)).toEqual(read);
    const again = parseQuantity(written, kind);
    expect('quantity' in again && again.quantity).toEqual(read.quantity);
  });

  it('reads K and a bare number as what is expected', () => {
    const kelvin = parseQuantity('300 K', 'temperature');
    expect('quantity' in kelvin && kelvin.quantity.value.toFraction()).toBe('537/20');
    const whole = parseQuantity('1', 'ratio');
    expect('quantity' in whole && whole.quantity.kind).toBe('ratio');
  });

  it.each<[string, Kind | undefined, object]>([
    ['', undefined, { code: 'empty' }],
    [' \u00A0\u200B', undefined, { code: 'empty' }],
    ['19,20 mm', 'length', { code: 'decimal-comma', instead: '19.20' }],
    ['1,234 mm', 'length', { code: 'doubtful-number' }],
    ['1 234 mm', 'length', { code: 'doubtful-number', readings: ['1234'] }],
    ['.5 mm', 'length', { code: 'bare-point', instead: '0.5' }],
    ['5. mm', 'length', { code: 'bare-point', instead: '5' }],
    ['007 mm', 'length', { code: 'leading-zeros', instead: '7' }],
    ['5', 'length', { code: 'missing-unit', expected: 'length', units: ['mm', 'cm', 'm'] }],
    ['5', 'temperature', { code: 'missing-unit' }],
    ['5 MM', 'length', { code: 'unknown-unit', found: 'MM', suggestions: ['mm'] }],
    ['5 mm 6', 'length', { code: 'unknown-unit' }],
    ['1 rad', 'angle', { code: 'inexact-unit', instead: '°' }],
    ['5 bar', 'length', { code: 'wrong-kind', found: 'pressure', expected: 'length' }],
    ['5 °C', 'temperature-difference', { code: 'wrong-kind', units: ['K', 'Δ°C', 'Δ°F'] }],
    ['5 K', 'length', { code: 'wrong-kind', found: 'temperature-difference' }],
    ['2.5', 'count', { code: 'not-whole' }],
    ['mm', 'length', { code: 'not-a-number' }],
  ])('"%s" for a %s: %o', (text, kind, fault) => {
    expect(parseQuantity(text, kind)).toMatchObject({ fault });
  });
});
