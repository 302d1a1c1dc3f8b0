import { describe, expect, test } from 'vitest';
import { type Instrument, overdue, unsuitable } from '../../src/measure/index.ts';
import { parseQuantity, type Quantity } from '../../src/quantity/index.ts';

function quantity(text: string): Quantity {
  const read = parseQuantity(text);
  if (!('quantity' in read)) throw new Error(text);
  return read.quantity;
}

const gauge: Instrument = {
  kind: 'depth-gauge',
  identity: 'DG-7',
  quantity: 'length',
  range: [quantity('0 mm'), quantity('25.4 mm')],
  resolution: quantity('0.01 mm'),
  due: '2027-01-31',
};
const noon = '2027-01-01T12:00:00Z';

describe('the range of an instrument, ends included', () => {
  test.each([
    ['0 mm', undefined],
    ['25.4 mm', undefined],
    ['1 in', undefined],
    ['25.4001 mm', 'beyond-instrument'],
    ['-0.0001 mm', 'beyond-instrument'],
  ])('%s: %s', (value, because) => {
    expect(unsuitable(gauge, quantity(value), noon).map((one) => one.because)).toEqual(
      because === undefined ? [] : [because],
    );
  });
});

describe('a due date holds to the end of that day, in the offset of the time', () => {
  test.each([
    ['2027-01-31T00:00:00Z', undefined],
    ['2027-01-31T23:59:59.999Z', undefined],
    ['2027-02-01T00:00:00Z', 'instrument-overdue'],
    ['2027-01-31T23:59:59-11:00', undefined],
    ['2027-02-01T00:00:01+14:00', 'instrument-overdue'],
    ['2028-01-01T00:00:00Z', 'instrument-overdue'],
  ])('%s: %s', (on, because) => {
    expect(overdue(gauge, on)?.because).toBe(because);
    expect(unsuitable(gauge, quantity('5 mm'), on)[0]?.because).toBe(because);
  });

  test('an instrument without a due date never runs out', () => {
    const { due: _, ...feeler } = gauge;
    expect(overdue(feeler, '2999-12-31T23:59:59Z')).toBeUndefined();
    expect(unsuitable(feeler, quantity('5 mm'), '2999-12-31T23:59:59Z')).toEqual([]);
  });

  test('a value beyond the range is named first: it may be a slip', () => {
    expect(unsuitable(gauge, quantity('99 mm'), '2028-01-01T00:00:00Z').map((one) => one.because)).toEqual([
      'beyond-instrument',
      'instrument-overdue',
    ]);
  });
});
