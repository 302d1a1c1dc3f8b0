import { type Amount, chooseFromStock, parseQuantity, Rational, stacksOf } from '@ferrule/engine';
import { expect, test } from 'vitest';

const amount = (text: string): Amount => {
  const read = parseQuantity(text);
  if ('fault' in read) throw new Error(`${text}: ${read.fault.code}`);
  return read.quantity;
};

// Esposito, Fluid Power, example 8-1 (p. 293), read: a valve spring of 2500 lb/in, preloaded by 0.20 in, on a poppet of
// 0.75 in² lets the valve crack at 667 psi. Preload is what shims under the spring of a nozzle holder change: its
// sensitivity is the rate of the spring by the area, 2500 / 0.75 psi/in.
test('a stack of shims raises the cracking pressure by its height, times the rate of the spring by the area', () => {
  const rate = amount('2500 psi/in');
  const sensitivity: Amount = { kind: rate.kind, value: rate.value.over(Rational.of(3, 4)) };
  const found = chooseFromStock({
    value: amount('0 psi'),
    fitted: amount('0 in'),
    sensitivity,
    limits: { low: amount('600 psi'), high: amount('734 psi') },
    stacks: stacksOf([amount('0.05 in').value, amount('0.10 in').value], 2) ?? [],
    mayStay: false,
  });
  if (found.choice !== 'chosen') throw new Error(found.choice);
  const psi = amount('1 psi').value;
  expect(found.best.total.equals(amount('0.20 in').value)).toBe(true);
  expect(Math.abs(found.best.predicted.value.over(psi).toNumber() - 667)).toBeLessThan(0.5);
});
