import { parseQuantity, type Quantity } from '@ferrule/engine';
import { expect, it } from 'vitest';
import { limitsInBoth } from '../src/both-systems.ts';

function quantity(text: string): Quantity {
  const read = parseQuantity(text);
  if (!('quantity' in read)) throw new Error(text);
  return read.quantity;
}

/* Computed with 25.4 mm, 1.3558 N·m and 0.0689476 bar (SP 811, B.8, read): 0.25 mm is 0.009843 in, 0.30 mm 0.011811 in,
   10 N·m 7.376 lbf·ft, 20 N·m 14.751 lbf·ft, 12 N·m 106.2 lbf·in, 110 bar 1595.4 psi, 118 bar 1711.4 psi. */
it.each([
  ['0.25 mm', '0.30 mm', '0.0099 in to 0.0118 in'],
  [undefined, '0.30 mm', 'at most 0.0118 in'],
  ['0.25 mm', undefined, 'at least 0.0099 in'],
  ['10 N·m', '20 N·m', '7.4 lbf·ft to 14.7 lbf·ft'],
  ['12 N·m', undefined, 'at least 107 lbf·in'],
  ['110 bar', '118 bar', '1596 psi to 1711 psi'],
  ['-0.05 mm', '0.05 mm', '-0.0019 in to 0.0019 in'],
])('limits of %s and %s lie inside in the other system, in one unit and even digits', (low, high, other) => {
  const limits = {
    ...(low === undefined ? {} : { low: quantity(low) }),
    ...(high === undefined ? {} : { high: quantity(high) }),
  };
  const { unit, decimals } = quantity(low ?? high ?? '');
  const written = limitsInBoth({ limits, unit, decimals, says: 'as the pack says' }).other;
  expect(written).toBe(other);
  const ends = (written ?? '')
    .replace(/^at (?:most|least) /, '')
    .split(' to ')
    .map(quantity);
  for (const end of ends) {
    const { low: from, high: to } = limits;
    expect(from === undefined || end.value.compare(from.value) >= 0).toBe(true);
    expect(to === undefined || end.value.compare(to.value) <= 0).toBe(true);
  }
  expect(new Set(ends.map((end) => `${end.unit.symbol} ${end.decimals}`)).size).toBe(1);
});
