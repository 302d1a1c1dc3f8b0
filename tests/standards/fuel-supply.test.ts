import { createRequire } from 'node:module';
import { join } from 'node:path';
import { checkPack } from '@ferrule/check';
import { judgeReadings, parseQuantity, type Quantity, resolve, type TakenReading } from '@ferrule/engine';
import { describe, expect, test } from 'vitest';

/*
 * What the supply side is judged by: flow, restriction, drop, loss per time and dose, through the expressions of the pack
 * and as a job judges them. Conversions are held against UCUM's own library; uncertainties against the formulas of
 * JCGM 100, written out here in floating point.
 */
interface Ucum {
  convertUnitTo(from: string, value: number, to: string): { readonly toVal: number | null };
}
const { UcumLhcUtils }: { UcumLhcUtils: { getInstance(): Ucum } } = createRequire(import.meta.url)(
  '@lhncbc/ucum-lhc',
);
const ucum = (value: number, from: string, to: string): number =>
  UcumLhcUtils.getInstance().convertUnitTo(from, value, to).toVal ?? Number.NaN;

const { pack } = await checkPack(join(import.meta.dirname, '../../specs/marram-fuel-supply/1.0.0'), {
  withoutProof: true,
});
if (pack === undefined) throw new Error('the pack was not read');
const variants = ['marram-three', 'marram-four', 'marram-five', 'marram-six'] as const;
type Variant = (typeof variants)[number];
const plans = new Map(
  variants.map((variant) => [variant, resolve(pack, { procedure: 'service-supply', variant }).plan]),
);

/** Table 6-4 and the library's table 2-1 (both invented): resolution and permissible error, in the unit of the reading. */
const instruments = {
  stopwatch: { identity: 'SW-3', resolution: 0.1, error: 0.3 },
  'supply-gauge': { identity: 'PG-07', resolution: 0.01, error: 0.02 },
  'suction-gauge': { identity: 'VG-03', resolution: 0.005, error: 0.01 },
  'measuring-glass': { identity: 'MG-1', resolution: 5, error: 10 },
  'measuring-glass-small': { identity: 'MG-4', resolution: 0.5, error: 0.5 },
  'tank-stick': { identity: 'TS-3', resolution: 2, error: 5 },
  'dosing-glass': { identity: 'DG-1', resolution: 2, error: 2.5 },
} as const;

const readWith = {
  caught: 'measuring-glass-small',
  'cranked-for': 'stopwatch',
  'return-caught': 'measuring-glass',
  'return-time': 'stopwatch',
  'suction-standing': 'suction-gauge',
  'suction-running': 'suction-gauge',
  'pressure-before': 'supply-gauge',
  'pressure-after': 'supply-gauge',
  'held-first': 'supply-gauge',
  'held-last': 'supply-gauge',
  'held-for': 'stopwatch',
  'fuel-in-tank': 'tank-stick',
  dose: 'dosing-glass',
} as const;
type Name = keyof typeof readWith;
const isName = (name: string): name is Name => Object.hasOwn(readWith, name);

/** What a job says of readings taken with these instruments; the value is in the base unit of its kind. */
function judged(variant: Variant, tolerance: string, readings: Partial<Record<Name, string>>) {
  const plan = plans.get(variant);
  const found = plan?.tolerances.find(({ name }) => name.split('.').at(-1) === tolerance);
  if (plan === undefined || found === undefined) throw new Error(`no ${tolerance} for ${variant}`);
  const quantityOf = (path: string): Quantity | undefined => {
    const name = path.split('.').at(-1) ?? '';
    const text = isName(name) ? readings[name] : undefined;
    if (text === undefined) return undefined;
    const parsed = parseQuantity(text);
    if (!('quantity' in parsed)) throw new Error(`no quantity: ${text}`);
    return parsed.quantity;
  };
  const taken = (path: string): TakenReading | undefined => {
    const name = path.split('.').at(-1) ?? '';
    const quantity = quantityOf(path);
    if (quantity === undefined || !isName(name)) return undefined;
    const { [readWith[name]]: instrument } = instruments;
    return { quantity, instrument: { kind: readWith[name], identity: instrument.identity } };
  };
  const { verdict, limits } = judgeReadings(plan, found, quantityOf, taken);
  const value = 'value' in verdict ? verdict.value?.value.toNumber() : undefined;
  if (value === undefined) throw new Error(`${tolerance} has no value: ${JSON.stringify(verdict)}`);
  return {
    verdict: verdict.verdict,
    side: 'side' in verdict ? verdict.side : undefined,
    value,
    low: limits.low?.value.toNumber(),
    high: limits.high?.value.toNumber(),
  };
}

describe('flow', () => {
  // Volume by time, the definition; UCUM makes mL/s into the unit that the table states (computed with its library).
  test.each([
    [52, 10.2],
    [40, 10],
    [61.5, 12.7],
  ])('of the lift pump, %f mL in %f s', (mL, s) => {
    const { value } = judged('marram-four', 'lift-flow-limit', {
      caught: `${mL} mL`,
      'cranked-for': `${s} s`,
    });
    expect(value).toBeCloseTo(ucum(mL / s, 'mL/s', 'mL/min'), 9);
  });

  test.each([
    [470, 60.1],
    [295, 60],
    [1250, 118.3],
  ])('of the return, %i mL in %f s', (mL, s) => {
    const { value } = judged('marram-four', 'return-limits', {
      'return-caught': `${mL} mL`,
      'return-time': `${s} s`,
    });
    expect(ucum(value, 'mL/min', 'L/h')).toBeCloseTo((mL / s) * 3.6, 9);
    expect(value).toBeCloseTo(ucum(mL / s, 'mL/s', 'mL/min'), 9);
  });

  test('is the same whatever it is caught in and timed by', () => {
    const gallons = ucum(470, 'mL', '[gal_us]').toFixed(12);
    const { value } = judged('marram-four', 'return-limits', {
      'return-caught': `${gallons} gal`,
      'return-time': '1.5 min',
    });
    expect(value).toBeCloseTo(470 / 1.5, 6);
  });

  // Table 6-1 (invented), in mL/min and L/h; one drop beside each limit. In exactly 60 s, 1 L/h is 1000/60 mL.
  test.each([
    ['marram-three', 240, 15, 35],
    ['marram-four', 240, 18, 40],
    ['marram-five', 300, 20, 45],
    ['marram-six', 300, 22, 50],
  ] as const)('%s, at its limits', (variant, least, low, high) => {
    const pump = (mL: number) =>
      judged(variant, 'lift-flow-limit', { caught: `${mL} mL`, 'cranked-for': '12 s' }).verdict;
    expect([pump(least / 5), pump(least / 5 - 0.1)]).toEqual(['conforming', 'nonconforming']);
    const back = (perHour: number, more = 0) =>
      judged(variant, 'return-limits', {
        'return-caught': `${perHour * 20 + more} mL`,
        'return-time': '72 s',
      });
    expect([back(low).verdict, back(high).verdict]).toEqual(['conforming', 'conforming']);
    expect([back(low, -1).side, back(high, 1).side]).toEqual(['low', 'high']);
  });
});

describe('restriction', () => {
  /** Static pressure of a column, ρ g h, in bar; g = 9.80665 m/s² (ISO 80000-3; from memory). */
  const head = (metres: number, density: number): number => (density * 9.80665 * metres) / 1e5;

  // Diesel fuel of EN 590 has 820 to 845 kg/m³ at 15 °C (from memory).
  test.each([820, 845])('does not depend on how high the tank stands, with fuel of %i kg/m³', (density) => {
    for (const lift of [0, 0.3, 0.9, 1.5]) {
      const standing = -head(lift, density);
      const { value } = judged('marram-four', 'restriction-limit', {
        'suction-standing': `${standing.toFixed(9)} bar`,
        'suction-running': `${(standing - 0.09).toFixed(9)} bar`,
      });
      expect(value).toBeCloseTo(0.09, 8);
    }
  });

  test('is a positive number where the gauge shows a greater vacuum, in whatever unit', () => {
    const { value } = judged('marram-four', 'restriction-limit', {
      'suction-standing': '-3.0 kPa',
      'suction-running': `${ucum(-9.5, 'kPa', '[psi]').toFixed(9)} psi`,
    });
    expect(value).toBeCloseTo(ucum(6.5, 'kPa', 'bar'), 9);
  });

  test.each([
    ['marram-three', 0.12],
    ['marram-four', 0.12],
    ['marram-five', 0.15],
    ['marram-six', 0.15],
  ] as const)('%s, at its limit', (variant, most) => {
    const running = (bar: number) =>
      judged(variant, 'restriction-limit', {
        'suction-standing': '-0.03 bar',
        'suction-running': `${(-0.03 - bar).toFixed(4)} bar`,
      });
    expect(running(most).verdict).toBe('conforming');
    expect(running(most + 0.0001)).toMatchObject({ verdict: 'nonconforming', side: 'high' });
  });
});

describe('drop across the filter', () => {
  test('is what the gauge shows before it less what it shows behind it', () => {
    const drop = (before: string, after: string) =>
      judged('marram-four', 'drop-limit', { 'pressure-before': before, 'pressure-after': after });
    expect(drop('0.48 bar', '0.36 bar')).toMatchObject({ verdict: 'conforming' });
    expect(drop('48 kPa', '0.36 bar').value).toBeCloseTo(ucum(48, 'kPa', 'bar') - 0.36, 12);
    expect(drop('0.48 bar', '0.35 bar')).toMatchObject({ verdict: 'nonconforming', side: 'high' });
  });
});

describe('loss of pressure', () => {
  const leak = (first: number, last: number, minutes: number) =>
    judged('marram-four', 'leak-limit', {
      'held-first': `${first.toFixed(4)} bar`,
      'held-last': `${last.toFixed(4)} bar`,
      'held-for': `${minutes} min`,
    });

  // A rate: the same fall in twice the time is half of it (definition).
  test.each([
    [0.62, 0.59, 10, 0.03],
    [0.62, 0.52, 20, 0.05],
    [0.7, 0.4, 30, 0.1],
    [0.6, 0.58, 12.5, 0.016],
  ])('from %f bar to %f bar in %f min is that of ten minutes', (first, last, minutes, loss) => {
    expect(leak(first, last, minutes).value).toBeCloseTo(loss, 12);
  });

  /**
   * Expanded uncertainty of y = (p₁ − p₂)·T/t with T = 10 min: u² = Σ (∂y/∂x · u(x))², u(x)² = d²/12 + a²/3, U = 2u
   * (JCGM 100, 4.3.7, 5.1.2 and F.2.2.1; from memory; the derivatives are worked out by hand).
   */
  function expanded(first: number, last: number, minutes: number): number {
    const of = ({ resolution, error }: { readonly resolution: number; readonly error: number }) =>
      resolution ** 2 / 12 + error ** 2 / 3;
    const perPressure = 10 / minutes;
    const perTime = ((first - last) * 10) / minutes ** 2 / 60;
    const pressures = 2 * perPressure ** 2 * of(instruments['supply-gauge']);
    return 2 * Math.sqrt(pressures + perTime ** 2 * of(instruments.stopwatch));
  }

  test.each([10, 20, 30, 50])('after %i min it is decided outside of the guard band alone', (minutes) => {
    // The loss at which 0.10 bar less the guard band is met, found by halving.
    let [inside, outside] = [0, 0.1];
    for (let i = 0; i < 60; i++) {
      const loss = (inside + outside) / 2;
      const last = 0.7 - (loss * minutes) / 10;
      if (loss + expanded(0.7, last, minutes) <= 0.1) inside = loss;
      else outside = loss;
    }
    const at = (loss: number) => leak(0.7, 0.7 - (loss * minutes) / 10, minutes).verdict;
    expect([at(inside - 5e-4), at(inside + 5e-4)]).toEqual(['conforming', 'inconclusive']);
    expect([at(0.0995), at(0.1005)]).toEqual(['inconclusive', 'nonconforming']);
  });

  test('waiting twice as long halves the guard band, as far as the stopwatch lets it', () => {
    expect(expanded(0.65, 0.6, 20) / expanded(0.65, 0.6, 10)).toBeCloseTo(0.5, 3);
    expect(leak(0.65, 0.57, 10).verdict).toBe('inconclusive');
    expect(leak(0.65, 0.49, 20).verdict).toBe('conforming');
  });
});

describe('dose of biocide', () => {
  // Table 6-3 (invented): half a millilitre to the litre, one part in 2000 by volume, a fifth either way.
  test.each([
    [200, 80, 100, 120],
    [460, 184, 230, 276],
    [800, 320, 400, 480],
  ])('for %i L: from %i mL over %i mL to %i mL', (litres, low, middle, high) => {
    const dose = (mL: number) =>
      judged('marram-four', 'dose-limits', { 'fuel-in-tank': `${litres} L`, dose: `${mL} mL` });
    expect(dose(middle)).toMatchObject({ verdict: 'conforming', low, high });
    expect(ucum(litres / 2000, 'L', 'mL')).toBeCloseTo(middle, 9);
    expect([dose(low).verdict, dose(high).verdict]).toEqual(['conforming', 'conforming']);
    expect([dose(low - 0.5).side, dose(high + 0.5).side]).toEqual(['low', 'high']);
  });

  /** u² of the distance between dose and limit, where the limit is worked out from the tank (JCGM 100, 5.1.2). */
  test.each([200, 400, 800])('stick and glass can judge it in a tank of %i L', (litres) => {
    const { 'dosing-glass': glass, 'tank-stick': stick } = instruments;
    const glassSquared = glass.resolution ** 2 / 12 + glass.error ** 2 / 3;
    const stickSquared = (stick.resolution ** 2 / 12 + stick.error ** 2 / 3) * 0.6 ** 2;
    const width = litres * 0.2;
    // C_m of at least 4, JCGM 106, 7.6.3.
    expect(width / (4 * Math.sqrt(glassSquared + stickSquared))).toBeGreaterThan(4);
  });
});
