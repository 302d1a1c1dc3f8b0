import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { adapterRatio, wrenchSetting } from '../../src/measure/index.ts';
import {
  type Kind,
  parseQuantity,
  type Quantity,
  Rational,
  writeQuantity,
} from '../../src/quantity/index.ts';

function quantity(text: string, kind: Kind): Quantity {
  const read = parseQuantity(text, kind);
  if (!('quantity' in read)) throw new Error(text);
  return read.quantity;
}

const adapter = (length: string, angle = '0°') => ({
  length: quantity(length, 'length'),
  angle: quantity(angle, 'angle'),
});
const ratio = (wrench: string, length: string, angle?: string) =>
  adapterRatio(quantity(wrench, 'length'), adapter(length, angle));

function settingOf(torque: string, of: Rational | undefined, resolution = '0.5 N·m', running?: string) {
  if (of === undefined) throw new Error('no lever');
  const setting = wrenchSetting(
    quantity(torque, 'torque'),
    running === undefined ? undefined : quantity(running, 'torque'),
    of,
    quantity(resolution, 'torque'),
  );
  return { ...setting, text: writeQuantity(setting.set) };
}

describe('the lever of an adapter', () => {
  // The cosines of these angles are known; an adapter of 100 mm on a wrench of 200 mm.
  test.each([
    ['0°', '3/2'],
    ['60°', '5/4'],
    ['90°', '1'],
    ['120°', '3/4'],
    ['180°', '1/2'],
    ['270°', '1'],
    ['300°', '5/4'],
    ['-60°', '5/4'],
    ['360°', '3/2'],
  ])('at %s the ratio is exactly %s', (angle, expected) => {
    expect(ratio('200 mm', '100 mm', angle)?.toFraction()).toBe(expected);
  });

  test('at 45° the cosine is √2/2, rounded to nine places', () => {
    expect(ratio('100 mm', '100 mm', '45°')?.toFraction()).toBe(Rational.parse('1.707106781')?.toFraction());
  });

  test('lengths may have different units', () => {
    expect(ratio('12 in', '152.4 mm')?.toFraction()).toBe('3/2');
  });

  test.each([
    ['100 mm', '100 mm', '180°'],
    ['100 mm', '150 mm', '180°'],
    ['100 mm', '201 mm', '120°'],
    ['0 mm', '50 mm', '0°'],
  ])('%s with %s at %s leaves no lever', (wrench, length, angle) => {
    expect(ratio(wrench, length, angle)).toBeUndefined();
  });

  test('just short of the grip it does', () => {
    expect(ratio('100 mm', '99.9 mm', '180°')?.toFraction()).toBe('1/1000');
  });
});

describe('the setting', () => {
  test('at a right angle is the torque itself', () => {
    expect(settingOf('43 N·m', ratio('300 mm', '45 mm', '90°')).text).toBe('43.0 N·m');
  });

  test('is less where the adapter makes the wrench longer, and gives the torque that it is rounded to', () => {
    // 43 × 300 / 345 = 37.39…
    const setting = settingOf('43 N·m', ratio('300 mm', '45 mm'));
    expect(setting.text).toBe('37.5 N·m');
    expect(setting.exact.value.toDecimal(4)).toBe('37.3913');
    expect(setting.gives.value.toDecimal(4)).toBe('43.1250');
  });

  test('is more where the adapter points back to the grip', () => {
    // 40 × 300 / 240
    expect(settingOf('40 N·m', ratio('300 mm', '60 mm', '180°')).text).toBe('50.0 N·m');
  });

  test('takes the running torque with it before the adapter shortens it', () => {
    // (43 + 2) × 300 / 345 = 39.13…
    const setting = settingOf('43 N·m', ratio('300 mm', '45 mm'), '0.1 N·m', '2.0 N·m');
    expect(setting.text).toBe('39.1 N·m');
    expect(setting.gives.value.toDecimal(4)).toBe('44.9650');
  });

  // Rounding half to even: a statistician's habit that favours no side (ISO 80000-1:2009, B.3, rule A, from memory).
  test.each([
    ['10.25 N·m', '10.0 N·m'],
    ['10.75 N·m', '11.0 N·m'],
    ['10.26 N·m', '10.5 N·m'],
    ['10.24 N·m', '10.0 N·m'],
  ])('of %s falls on a step: %s', (torque, set) => {
    expect(settingOf(torque, Rational.one).text).toBe(set);
  });

  test('is in the unit of the wrench', () => {
    expect(settingOf('30 lbf·ft', Rational.one).text).toBe('40.5 N·m');
  });
});

test('the torque comes back from the setting, whatever the adapter', () => {
  const tenths = (least: number, most: number) => fc.integer({ min: least, max: most }).map((n) => n / 10);
  fc.assert(
    fc.property(
      tenths(10, 5000),
      tenths(1000, 8000),
      tenths(0, 900),
      fc.integer({ min: -720, max: 720 }),
      tenths(0, 50),
      (torque, wrench, length, angle, running) => {
        const of = ratio(`${wrench} mm`, `${length} mm`, `${angle}°`);
        if (of === undefined) throw new Error('an adapter that is shorter than its wrench leaves a lever');
        const { exact, gives, set } = settingOf(`${torque} N·m`, of, '0.1 N·m', `${running} N·m`);
        const back = exact.value.times(of).minus(quantity(`${running} N·m`, 'torque').value);
        expect(back.equals(quantity(`${torque} N·m`, 'torque').value)).toBe(true);
        // Rounding moves the setting by half a step at most, and the torque by that much times the ratio.
        const half = Rational.of(5, 100);
        expect(set.value.minus(exact.value).abs().compare(half)).toBeLessThanOrEqual(0);
        expect(gives.value.equals(set.value.times(of))).toBe(true);
        // The same lever worked out in doubles.
        const lever = (wrench + length * Math.cos((angle * Math.PI) / 180)) / wrench;
        expect(of.toNumber()).toBeCloseTo(lever, 7);
      },
    ),
    { numRuns: 300 },
  );
});
