import {
  adapterRatio,
  type Kind,
  parseQuantity,
  permissibleDeviation,
  type Quantity,
  Rational,
  torqueDeviation,
  wrenchSetting,
} from '@ferrule/engine';
import { expect, test } from 'vitest';

function quantity(text: string, kind: Kind): Quantity {
  const read = parseQuantity(text, kind);
  if (!('quantity' in read)) throw new Error(text);
  return read.quantity;
}

/** What a wrench is set to with a straight adapter, before rounding to its steps. */
function exactSetting(torque: string, wrench: string, adapter: string): Rational {
  const straight = { length: quantity(adapter, 'length'), angle: quantity('0°', 'angle') };
  const ratio = adapterRatio(quantity(wrench, 'length'), straight);
  if (ratio === undefined) throw new Error('no lever');
  const step = quantity('0.01 lbf·ft', 'torque');
  const { exact } = wrenchSetting(quantity(torque, 'torque'), undefined, ratio, step);
  return exact.value.over(step.unit.factor);
}

test('30 lbf·ft over 12 in and 6 in: set 20 (worked example of an adapter, torqwrench.com/Info/extens.php; read)', () => {
  expect(exactSetting('30 lbf·ft', '12 in', '6 in').toFraction()).toBe('20');
});

test('50 lbf·ft over 16 in and 2 in: set 44.44 (worked example, instruction sheet of a hand tool; read)', () => {
  expect(
    exactSetting('50 lbf·ft', '16 in', '2 in').minus(Rational.of(4444, 100)).abs().toNumber(),
  ).toBeLessThan(0.005);
});

test('type II, class A: 4 % above 10 N·m, 6 % up to it (review of ISO 6789 in the manual of a torque tool; read)', () => {
  const share = (largest: string) =>
    permissibleDeviation({ type: 'II', class: 'A' }, quantity(largest, 'torque'))?.toDecimal(2);
  expect(share('50 N·m')).toBe('0.04');
  expect(share('10 N·m')).toBe('0.06');
});

test('indicated 100 where the reference is 104: -3.846 % (ISO 6789, from memory)', () => {
  const deviation = torqueDeviation(Rational.of(100), Rational.of(104));
  expect(deviation?.times(Rational.of(100)).toDecimal(3)).toBe('-3.846');
});
