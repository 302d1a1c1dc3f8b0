import { describe, expect, it } from 'vitest';
import {
  convert,
  findUnit,
  inOtherSystem,
  parseQuantity,
  type Quantity,
  type Unit,
  writeAmount,
  writeQuantity,
} from '../../src/quantity/index.ts';

function read(text: string): Quantity {
  const result = parseQuantity(text);
  if ('fault' in result) throw new Error(text);
  return result.quantity;
}
function unit(symbol: string): Unit {
  const found = findUnit(symbol);
  if (found === undefined) throw new Error(symbol);
  return found;
}

describe('converting', () => {
  it.each([
    ['19.20 mm', 'in', 4, '0.7559 in'],
    ['0.5 in', 'mm', 1, '12.7 mm'],
    ['-0.001 mm', 'in', 2, '0.00 in'],
    ['82 °C', '°F', 1, '179.6 °F'],
    ['-40 °F', '°C', 0, '-40 °C'],
    ['1 turn', '°', 0, '360°'],
    ['0.25 mm', 'mm', 1, '0.3 mm'],
    ['-0.25 mm', 'mm', 1, '-0.3 mm'],
    ['50 %', '%', 0, '50 %'],
  ])('%s in %s to %i decimals is %s', (text, symbol, decimals, written) => {
    expect(writeAmount(read(text), unit(symbol), decimals)).toBe(written);
    // The rounded quantity is worth its own digits, not what was rounded away.
    const converted = convert(read(text), unit(symbol), decimals);
    expect(converted.value.equals(read(written).value)).toBe(true);
  });

  it('is a bug between kinds', () => {
    expect(() => convert(read('1 mm'), unit('bar'), 0)).toThrow(RangeError);
  });
});

it.each([
  ['19.20 mm', '0.756 in'],
  ['1 mm', '0.039 in'],
  ['0.025 mm', '0.00098 in'],
  ['0.756 in', '19.20 mm'],
  ['50 N·m', '37 lbf·ft'],
  ['3.4 N·m', '30 lbf·in'],
  ['35 lbf·ft', '47 N·m'],
  ['210 bar', '3046 psi'],
  ['82 °C', '180 °F'],
  ['180 °F', '82 °C'],
  ['5 K', '9.0 Δ°F'],
  ['2.0 L', '0.53 gal'],
  ['-0.50 mm', '-0.020 in'],
  ['360°', undefined],
  ['12 s', undefined],
  ['10 bar/mm', undefined],
])('%s beside the other system is %s', (text, other) => {
  const found = inOtherSystem(read(text));
  expect(found && writeQuantity(found)).toBe(other);
});
