import { describe, expect, it } from 'vitest';
import {
  type Amount,
  type AmountResult,
  addAmounts,
  compareAmounts,
  divideAmounts,
  findUnit,
  meanOfAmounts,
  multiplyAmounts,
  parseQuantity,
  subtractAmounts,
  writeAmount,
} from '../../src/quantity/index.ts';

function read(text: string): Amount {
  const result = parseQuantity(text);
  if ('fault' in result) throw new Error(text);
  return result.quantity;
}

function told(result: AmountResult, symbol: string, decimals: number): string {
  if ('fault' in result) return result.fault.code;
  const unit = symbol === '' ? undefined : findUnit(symbol, result.amount.kind);
  return unit === undefined
    ? result.amount.value.toDecimal(decimals)
    : writeAmount(result.amount, unit, decimals);
}

describe('two amounts', () => {
  it.each([
    [subtractAmounts, '41.63 mm', '22.43 mm', 'mm', 3, '19.200 mm'],
    [addAmounts, '1 in', '1 mm', 'mm', 1, '26.4 mm'],
    [addAmounts, '1 mm', '1 bar', '', 0, 'kinds-do-not-combine'],
    [addAmounts, '20 °C', '9 Δ°F', '°C', 0, '25 °C'],
    [addAmounts, '20 °C', '25 °C', '', 0, 'kinds-do-not-combine'],
    [subtractAmounts, '212 °F', '0 °C', 'K', 0, '100 K'],
    [subtractAmounts, '5 K', '20 °C', '', 0, 'kinds-do-not-combine'],
    [multiplyAmounts, '20 N', '0.5 m', 'N·m', 1, '10.0 N·m'],
    [multiplyAmounts, '10 lbf', '6 in', 'lbf·ft', 3, '5.000 lbf·ft'],
    [multiplyAmounts, '2 L/min', '30 s', 'L', 1, '1.0 L'],
    [multiplyAmounts, '60 mm³/st', '1000 st', 'mL', 0, '60 mL'],
    [multiplyAmounts, '1500 r/min', '2 s', 'turn', 0, '50 turn'],
    [multiplyAmounts, '0.5 A', '4 Ω', 'V', 1, '2.0 V'],
    [multiplyAmounts, '10 bar/mm', '0.2 mm', 'bar', 1, '2.0 bar'],
    [multiplyAmounts, '95 %', '20 mL', 'mL', 0, '19 mL'],
    [multiplyAmounts, '20 °C', '2', '', 0, 'kinds-do-not-combine'],
    [divideAmounts, '10 N·m', '0.5 m', 'N', 0, '20 N'],
    [divideAmounts, '12 mL', '200 st', 'mm³/st', 0, '60 mm³/st'],
    [divideAmounts, '1 L', '2 min', 'L/h', 0, '30 L/h'],
    [divideAmounts, '720°', '1 s', 'r/min', 0, '120 r/min'],
    [divideAmounts, '5 bar', '10 bar/mm', 'mm', 2, '0.50 mm'],
    [divideAmounts, '19 mL', '20 mL', '%', 0, '95 %'],
    [divideAmounts, '5 bar', '0 mm', '', 0, 'division-by-zero'],
    [divideAmounts, '20 °C', '4', '', 0, 'kinds-do-not-combine'],
  ] as const)('%o of %s and %s in %s to %i decimals is %s', (operation, a, b, symbol, decimals, expected) => {
    expect(told(operation(read(a), read(b)), symbol, decimals)).toBe(expected);
  });

  it('say which kinds do not combine', () => {
    expect(addAmounts(read('1 mm'), read('1 bar'))).toEqual({
      fault: { code: 'kinds-do-not-combine', operation: '+', left: 'length', right: 'pressure' },
    });
  });

  it('compare within a kind only', () => {
    expect(compareAmounts(read('1 in'), read('25.4 mm'))).toBe(0);
    expect(compareAmounts(read('1 in'), read('25.3 mm'))).toBe(1);
    expect(compareAmounts(read('82 °C'), read('180 °F'))).toBe(-1);
    expect(compareAmounts(read('1 mm'), read('1 bar'))).toBeUndefined();
  });
});

describe('a mean', () => {
  it.each([
    [['1 mm', '2 mm', '2 mm'], 'mm', 4, '1.6667 mm'],
    [['20 °C', '32 °F'], '°C', 0, '10 °C'],
    [['3', '4'], '', 1, '3.5'],
    [['1 mm', '1 bar'], '', 0, 'kinds-do-not-combine'],
    [[], '', 0, 'nothing-to-average'],
  ])('of %o in %s to %i decimals is %s', (texts, symbol, decimals, expected) => {
    expect(told(meanOfAmounts(texts.map(read)), symbol, decimals)).toBe(expected);
  });
});
