import { join } from 'node:path';
import { checkPack } from '@ferrule/check';
import { judgeReadings, parseQuantity, resolve } from '@ferrule/engine';
import { describe, expect, test } from 'vitest';

/**
 * Pressure of the air at a height, hPa: ICAO standard atmosphere, troposphere, p = 1013.25 (1 − 0.0065 h / 288.15)^5.25588
 * (ICAO Doc 7488 and ISO 2533; from memory).
 */
const airAt = (metres: number): number => 1013.25 * (1 - (0.0065 * metres) / 288.15) ** 5.25588;

/**
 * What a gauge shows of a cylinder that is filled with air of p0, hPa, and compressed r times with exponent n, in bar:
 * p V^n = constant (polytropic change of an ideal gas; from memory), less the air outside.
 */
const gauge = (p0: number, r: number, n: number): number => (p0 * (r ** n - 1)) / 1000;

/** The air to which the pack corrects, hPa (invented, and near to the standard 1013.25). */
const REFERENCE = 1013;

const { pack } = await checkPack(join(import.meta.dirname, '../../specs/marram-cylinder-balance/1.0.0'), {
  withoutProof: true,
});
if (pack === undefined) throw new Error('the pack was not read');

const plans = new Map(
  ['cranking-compression', 'balance-at-idle'].flatMap((procedure) =>
    ['marram-three', 'marram-four', 'marram-five', 'marram-six'].map(
      (variant) => [`${procedure}/${variant}`, resolve(pack, { procedure, variant }).plan] as const,
    ),
  ),
);

const kinds: Readonly<Record<string, 'pressure' | 'temperature' | 'rotational-speed'>> = {
  bar: 'pressure',
  hPa: 'pressure',
  '°C': 'temperature',
  'r/min': 'rotational-speed',
};

/** What a job would say of readings by simple acceptance, which asks for no instrument; pressures in bar. */
function judged(
  procedure: string,
  variant: string,
  tolerance: string,
  readings: Readonly<Record<string, string>>,
) {
  const plan = plans.get(`${procedure}/${variant}`);
  const found = plan?.tolerances.find(({ name }) => name === tolerance);
  if (plan === undefined || found === undefined) throw new Error(`no ${tolerance} in ${variant}`);
  const read = (name: string) => {
    const text = readings[name];
    if (text === undefined) return undefined;
    const kind = kinds[text.split(' ')[1] ?? ''];
    const quantity = kind === undefined ? undefined : parseQuantity(text, kind);
    if (quantity === undefined || !('quantity' in quantity)) throw new Error(`no quantity: ${text}`);
    return quantity.quantity;
  };
  const { verdict } = judgeReadings(plan, found, read, () => undefined);
  return {
    verdict: verdict.verdict,
    value: 'value' in verdict ? verdict.value?.value.toNumber() : undefined,
  };
}

const compression = (
  variant: string,
  tolerance: string,
  peaks: readonly number[],
  air = '1013',
  warmth = '80',
) =>
  judged('cranking-compression', variant, tolerance, {
    'air-pressure': `${air} hPa`,
    coolant: `${warmth} °C`,
    ...Object.fromEntries(peaks.map((peak, i) => [`peak-pressure@${i + 1}`, `${peak.toFixed(9)} bar`])),
  });

const corrected = (peak: number, air: string, warmth = '80'): number =>
  compression('marram-four', 'pressure-limit@1', [peak, 30, 30, 30], air, warmth).value ?? Number.NaN;

describe('the standard atmosphere', () => {
  // ICAO Doc 7488, table of the standard atmosphere (memory), hPa.
  test.each([
    [0, 1013.25],
    [500, 954.61],
    [1000, 898.74],
    [1500, 845.56],
  ])('at %i m: %f hPa', (metres, hPa) => {
    expect(Math.abs(airAt(metres) - hPa)).toBeLessThan(0.02);
  });
});

describe('the correction for the air', () => {
  // One engine carried up a mountain: what it compresses changes with the air, what is made of it must not.
  test.each([0, 250, 500, 1000, 1500])('one cylinder gives one value at %i m', (metres) => {
    for (const [r, n] of [
      [12.5, 1.3],
      [13.4, 1.33],
      [14, 1.28],
    ] as const) {
      const there = airAt(metres);
      expect(corrected(gauge(there, r, n), there.toFixed(9))).toBeCloseTo(gauge(REFERENCE, r, n), 6);
    }
  });

  test('is of the pressure above the air, as a gauge shows it, and not of the absolute one', () => {
    const there = airAt(1000);
    const absolute = gauge(there, 13, 1.32) + there / 1000;
    expect(Math.abs(corrected(absolute, there.toFixed(6)) - gauge(REFERENCE, 13, 1.32))).toBeGreaterThan(1);
  });

  test('is none at the reference, and a ninth part up a little below 900 hPa', () => {
    expect(corrected(28, '1013')).toBe(28);
    // 1013 × 9 / 10 = 911.7 (computed by hand).
    expect(corrected(27, '911.7')).toBe(30);
  });

  test('weak as it stands and sound as corrected: a cylinder at 1000 m', () => {
    const peaks = [22, 22, 22];
    expect(compression('marram-three', 'pressure-limit@1', peaks).verdict).toBe('nonconforming');
    expect(compression('marram-three', 'pressure-limit@1', peaks, '898.7').verdict).toBe('conforming');
  });
});

describe('the factor of the warmth', () => {
  // Table 5-2 (invented); between two points in proportion, worked out by hand.
  test.each([
    ['0', 1.12],
    ['60', 1.03],
    ['70', 1.015],
    ['75', 1.0075],
    ['80', 1],
    ['90', 0.99],
    ['115', 0.97],
  ])('at %s °C it is %f', (warmth, factor) => {
    expect(corrected(20, '1013', warmth)).toBeCloseTo(20 * factor, 9);
  });

  // Less heat is left to a cooler charge, so a cooler engine is never corrected downwards (common practice, no published source).
  test('falls as the engine warms', () => {
    const found = Array.from({ length: 24 }, (_, i) => corrected(20, '1013', `${i * 5}`));
    for (const [i, one] of found.entries())
      expect(one).toBeLessThan(found[i - 1] ?? Number.POSITIVE_INFINITY);
  });

  test('there is none beyond the table', () => {
    expect(corrected(20, '1013', '116')).toBeNaN();
  });
});

// Each engine's own least pressure, table 5-1 (invented).
test.each([
  ['marram-three', 3, 24],
  ['marram-four', 4, 24],
  ['marram-five', 5, 25],
  ['marram-six', 6, 25],
])('%s: %i cylinders of at least %f bar', (variant, bores, least) => {
  for (let bore = 1; bore <= bores; bore++) {
    const of = (peak: number) =>
      compression(variant, `pressure-limit@${bore}`, new Array<number>(bores).fill(peak)).verdict;
    expect([of(least), of(least - 0.01)]).toEqual(['conforming', 'nonconforming']);
  }
});

describe('lowest beside highest', () => {
  // Fifteen parts in a hundred at most between them: common practice, no published source. 0.85 × 32 = 27.2 (by hand).
  test('is the share of these two, wherever they stand, at any air and warmth', () => {
    for (const [air, warmth] of [
      ['1013', '80'],
      ['880', '72'],
    ] as const)
      for (let low = 0; low < 6; low++)
        for (const [lowest, verdict] of [
          [27.2, 'conforming'],
          [27.19, 'nonconforming'],
        ] as const) {
          const peaks = [30, 30, 30, 30, 30, 30].map((peak, i) =>
            i === low ? lowest : i === (low + 1) % 6 ? 32 : peak,
          );
          const found = compression('marram-six', 'evenness-limit', peaks, air, warmth);
          expect(found.verdict).toBe(verdict);
          expect(found.value).toBeCloseTo(lowest / 32, 12);
        }
  });
});

describe('the cut-out', () => {
  const share = (bore: number, before: number, cuts: readonly number[], variant: string) =>
    judged('balance-at-idle', variant, `balance-limits@${bore}`, {
      ...Object.fromEntries(cuts.map((_, i) => [`speed-before@${i + 1}`, `${before} r/min`])),
      ...Object.fromEntries(cuts.map((cut, i) => [`speed-cut@${i + 1}`, `${cut} r/min`])),
    });

  // Shares of the arithmetic mean, worked out by hand: falls of 60, 45 and 75 have a mean of 60.
  test.each([
    [1, 1, 'conforming'],
    [2, 0.75, 'conforming'],
    [3, 1.25, 'conforming'],
  ])('cylinder %i of falls 60, 45, 75 takes %f of the mean', (bore, value, verdict) => {
    expect(share(bore, 800, [740, 755, 725], 'marram-three')).toEqual({ verdict, value });
  });

  test('falls of 60, 44, 76: the second and the third stand out', () => {
    const verdicts = [1, 2, 3].map((bore) => share(bore, 800, [740, 756, 724], 'marram-three').verdict);
    expect(verdicts).toEqual(['conforming', 'nonconforming', 'nonconforming']);
  });

  // Shares of a mean add up to their number, whatever they are (definition of the mean).
  test('the shares of five cylinders add up to five', () => {
    const cuts = [721, 733, 708, 741, 719];
    const all = [1, 2, 3, 4, 5].map((bore) => share(bore, 770, cuts, 'marram-five').value ?? Number.NaN);
    expect(all.reduce((sum, one) => sum + one, 0)).toBeCloseTo(5, 12);
  });

  test('a cylinder whose cut raises the speed takes no part, and no less than none', () => {
    expect(share(2, 800, [750, 803, 750, 750], 'marram-four')).toEqual({
      verdict: 'nonconforming',
      value: 0,
    });
  });
});
