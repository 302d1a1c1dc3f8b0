import { expect, test } from 'vitest';
import { classesOf, leastSpecified, permissibleDeviation, torqueDeviation } from '../../src/measure/index.ts';
import { parseQuantity, Rational } from '../../src/quantity/index.ts';

const torque = (text: string) => {
  const read = parseQuantity(text, 'torque');
  if (!('quantity' in read)) throw new Error(text);
  return read.quantity;
};
const share = (type: 'I' | 'II', letter: string, largest: string) =>
  permissibleDeviation({ type, class: letter }, torque(largest))?.times(Rational.of(100)).toFraction();

test.each(['A', 'B', 'C'])('wrenches that are set, class %s: 6 %% up to 10 N·m, 4 %% above', (letter) => {
  expect(share('II', letter, '10 N·m')).toBe('6');
  expect(share('II', letter, '10.001 N·m')).toBe('4');
  expect(share('II', letter, '60 N·m')).toBe('4');
  // 7.3 lbf·ft are 9.9 N·m and 7.4 are 10.03.
  expect(share('II', letter, '7.3 lbf·ft')).toBe('6');
  expect(share('II', letter, '7.4 lbf·ft')).toBe('4');
});

test('wrenches that indicate: B and C like them, A keeps to 6 %', () => {
  expect(['A', 'B', 'C'].map((letter) => share('I', letter, '200 N·m'))).toEqual(['6', '4', '4']);
});

test('screwdrivers and flexion bars keep to 6 % throughout', () => {
  expect(['D', 'E'].map((letter) => share('I', letter, '20 N·m'))).toEqual(['6', '6']);
  expect(['D', 'E', 'F', 'G'].map((letter) => share('II', letter, '20 N·m'))).toEqual(['6', '6', '6', '6']);
});

test('a class that a type does not have has no share', () => {
  expect(share('I', 'F', '20 N·m')).toBeUndefined();
  expect(share('II', 'H', '20 N·m')).toBeUndefined();
  expect(share('II', 'constructor', '20 N·m')).toBeUndefined();
  expect(classesOf('I')).toEqual(['A', 'B', 'C', 'D', 'E']);
  expect(classesOf('II')).toEqual(['A', 'B', 'C', 'D', 'E', 'F', 'G']);
});

test('a tool is specified from a fifth of its largest torque', () => {
  expect(leastSpecified(torque('60 N·m')).toFraction()).toBe('12');
});

test('a deviation is told of the reference', () => {
  expect(torqueDeviation(Rational.of(104), Rational.of(100))?.toDecimal(3)).toBe('0.040');
  expect(torqueDeviation(Rational.of(104), Rational.zero)).toBeUndefined();
});
