import { join } from 'node:path';
import { checkPack } from '@ferrule/check';
import { type Amount, judgeReadings, parseQuantity, resolve, selectByReadings } from '@ferrule/engine';
import { describe, expect, test } from 'vitest';

/** Pressure at which a valve under a spring opens: rate of the spring, times its preload, by the area under pressure. */
const opensAt = (rate: number, preload: number, area: number): number => (rate * preload) / area;
/** Area under pressure of a closed needle: that of its guide less that of its seat. */
const needleArea = (guide: number, seat: number): number => (Math.PI / 4) * (guide ** 2 - seat ** 2);

const { pack, gauges } = await checkPack(join(import.meta.dirname, '../../specs/marram-nozzle-bench/1.0.0'), {
  withoutProof: true,
});
if (pack === undefined) throw new Error('the pack was not read');
const planOf = (variant: string) => {
  const { plan } = resolve(pack, { procedure: 'test-and-set', variant });
  if (plan === undefined) throw new Error(`no plan for ${variant}`);
  return plan;
};

// Table 9-1 (invented): what a refitted and a renewed nozzle are set to, in bar. Around the first a set that has run may
// stray by 15 below and 10 above, where it came at most 15 apart; everything else has 5 either way.
const engines = [
  { variant: 'marram-three', bores: 3, used: 250, renewed: 255 },
  { variant: 'marram-four', bores: 4, used: 250, renewed: 255 },
  { variant: 'marram-five', bores: 5, used: 265, renewed: 270 },
  { variant: 'marram-six', bores: 6, used: 265, renewed: 270 },
].map((engine) => ({ ...engine, plan: planOf(engine.variant) }));

/** Table 9-3 (invented): shims from 1.00 mm to 2.00 mm in steps of 0.05 mm, and 100 bar for each millimetre. */
const shims = Array.from({ length: 21 }, (_, place) => (100 + 5 * place) / 100);
const BAR_PER_MM = 100;

const amount = (text: string): Amount => {
  const read = parseQuantity(text);
  if (!('quantity' in read)) throw new Error(`no quantity: ${text}`);
  return read.quantity;
};
const [oneBar, oneMm] = [amount('1 bar').value, amount('1 mm').value];

type Engine = (typeof engines)[number];
type Readings = Readonly<Record<string, string>>;
const reader = (readings: Readings) => (name: string) => {
  const text = readings[name];
  return text === undefined ? undefined : amount(text);
};

/** What a job would say of readings; the instruments are left out, as simple acceptance does not ask for them. */
function judged({ plan }: Engine, tolerance: string, readings: Readings) {
  const found = plan.tolerances.find(({ name }) => name === tolerance);
  if (found === undefined) throw new Error(`no ${tolerance}`);
  const { verdict } = judgeReadings(plan, found, reader(readings), () => undefined);
  const value = 'value' in verdict ? verdict.value?.value.over(oneBar).toNumber() : undefined;
  return { verdict: verdict.verdict, value };
}

/** Which shim a job would name, in millimetres, with the pressure that it predicts in bar; none where none does. */
function chosen({ plan }: Engine, selection: string, readings: Readings) {
  const found = plan.selections.find(({ name }) => name === selection);
  if (found === undefined) throw new Error(`no ${selection}`);
  const { choice } = selectByReadings(plan, found, reader(readings), () => undefined);
  if (choice?.choice !== 'chosen') return undefined;
  const { total, predicted } = choice.best;
  return { shim: total.over(oneMm).toNumber(), bar: predicted.value.over(oneBar).toNumber() };
}

const foundAll = ({ bores }: Engine, bar: (bore: number) => number): Readings =>
  Object.fromEntries(
    Array.from({ length: bores }, (_, place) => [`found@${place + 1}`, `${bar(place + 1)} bar`]),
  );

describe('bar for each millimetre of shim', () => {
  // Esposito, Fluid Power, example 8-1 (p. 293), read: 2500 lb/in, preloaded by 0.20 in, on 0.75 in² opens at 667 psi.
  test('the formula gives the published cracking pressure', () => {
    expect(Math.abs(opensAt(2500, 0.2, 0.75) - 667)).toBeLessThan(0.5);
  });

  // Table 9-3 (invented): a spring of 234 N/mm, a needle of 6.0 mm with a seat of 2.5 mm. 1 N/mm² is 10 bar (definition).
  test.each(engines)('of spring and needle it is what the pack states for $variant', ({ plan, bores }) => {
    const bar = 10 * opensAt(234, 1, needleArea(6, 2.5));
    expect(plan.selections).toHaveLength(2 * bores);
    for (const { sensitivity } of plan.selections) {
      const stated = sensitivity.value.times(oneMm).over(oneBar).toNumber();
      expect(Math.abs(stated / bar - 1)).toBeLessThan(0.005);
    }
  });
});

/** The shim nearest to `aim` inside the limits, by going through all of them and the one that is in. */
function nearest(aim: number, low: number, high: number, bar: number, fitted: number) {
  const all = [fitted, ...shims].map((shim) => ({ shim, bar: bar + BAR_PER_MM * (shim - fitted) }));
  const inside = all.filter((one) => one.bar > low - 1e-9 && one.bar < high + 1e-9);
  const off = (one: { readonly bar: number }): number => Math.abs(one.bar - aim);
  return inside.length === 0 ? undefined : inside.reduce((a, b) => (off(b) < off(a) - 1e-9 ? b : a));
}

describe.each(engines)('shims for $variant', (engine) => {
  const outside = foundAll(engine, () => 200);
  test.each([
    ['used', engine.used],
    ['new', engine.renewed],
  ] as const)('%s: the one that an exhaustive search finds, for every half bar', (kind, aim) => {
    let [found, none] = [0, 0];
    for (const fitted of [1.0, 1.02, 1.35, 1.502, 2.0])
      for (let bar = aim - 130; bar <= aim + 80; bar += 3.5) {
        const readings = { ...outside, 'opening@2': `${bar} bar`, 'shim-fitted@2': `${fitted} mm` };
        const choice = chosen(engine, `lay-shim-${kind}@2`, readings);
        const expected = nearest(aim, aim - 5, aim + 5, bar, fitted);
        if (expected === undefined) none++;
        else found++;
        expect(choice === undefined, `${bar} bar with ${fitted} mm`).toBe(expected === undefined);
        if (choice === undefined || expected === undefined) continue;
        expect(Math.abs(choice.bar - aim)).toBeCloseTo(Math.abs(expected.bar - aim), 6);
        // What the spring really does with that shim: in one change the nozzle is inside.
        const now = bar + 10 * opensAt(234, choice.shim - fitted, needleArea(6, 2.5));
        expect(Math.abs(now - aim)).toBeLessThan(5);
      }
    expect(found).toBeGreaterThan(100);
    expect(none).toBeGreaterThan(20);
  });

  // computed by hand: 228 + 100 × (s − 1.30) = 250 at s = 1.52, and 1.50 is the nearest of 1.50 and 1.55: 248 bar.
  test('a nozzle 22 bar too low gets 0.20 mm more', () => {
    const readings = { ...outside, 'opening@1': `${engine.used - 22} bar`, 'shim-fitted@1': '1.30 mm' };
    const choice = chosen(engine, 'lay-shim-used@1', readings);
    expect(choice?.shim).toBeCloseTo(1.5, 9);
    expect(choice?.bar).toBeCloseTo(engine.used - 2, 9);
  });
});

describe.each(engines)('limits for $variant', (engine) => {
  const { used, renewed } = engine;
  const verdictAt = (found: Readings, bar: number) =>
    judged(engine, 'used-limits@1', { ...found, 'opening@1': `${bar} bar` }).verdict === 'conforming';

  test.each([
    ['all at the setting', 0, 0, true],
    ['15 bar apart, down to the lower end', -15, 0, true],
    ['15 bar apart, up to the upper end', -5, 10, true],
    ['15.5 bar apart', -15, 0.5, false],
    ['one below the lower end', -15.5, -10, false],
    ['one above the upper end', 5, 10.5, false],
  ])('%s', (_, lowest, highest, isWide) => {
    const found = foundAll(engine, (bore) => used + (bore === 2 ? highest : lowest));
    const [below, above] = isWide ? [15, 10] : [5, 5];
    expect(verdictAt(found, used - below)).toBe(true);
    expect(verdictAt(found, used - below - 0.5)).toBe(false);
    expect(verdictAt(found, used + above)).toBe(true);
    expect(verdictAt(found, used + above + 0.5)).toBe(false);
  });

  test.each([
    [-5.5, 'nonconforming'],
    [-5, 'conforming'],
    [5, 'conforming'],
    [5.5, 'nonconforming'],
  ])(
    'a renewed nozzle, %f bar beside its setting, is %s, whatever the others came with',
    (aside, verdict) => {
      const readings = { 'opening@1': `${renewed + aside} bar` };
      expect(judged(engine, 'new-limits@1', readings).verdict).toBe(verdict);
    },
  );

  test('what is set to either setting is never too far apart', () => {
    expect(renewed + 5 - (used - 5)).toBeLessThanOrEqual(15);
  });

  // The spread is the largest of all differences of two (definition of the range of a sample).
  test('the spread is that of the whole set', () => {
    let state = 7;
    for (let round = 0; round < 60; round++) {
      const bars = Array.from({ length: engine.bores }, () => {
        state = (state * 16_807) % 2_147_483_647;
        return used - 12 + (state % 41) / 2;
      });
      const readings = Object.fromEntries(bars.map((bar, place) => [`opening@${place + 1}`, `${bar} bar`]));
      const widest = Math.max(...bars.flatMap((a) => bars.map((b) => a - b)));
      const { verdict, value } = judged(engine, 'spread-limit', readings);
      expect(value).toBeCloseTo(widest, 9);
      expect(verdict).toBe(widest <= 15 ? 'conforming' : 'nonconforming');
    }
  });

  test.each([
    [14.5, 'nonconforming'],
    [15, 'conforming'],
    [25, 'conforming'],
    [25.5, 'nonconforming'],
  ])('a seat looked at %f bar below its opening is %s', (below, verdict) => {
    const readings = { 'opening@1': `${used} bar`, 'seat-pressure@1': `${used - below} bar` };
    expect(judged(engine, 'seat-at-limits@1', readings)).toEqual({ verdict, value: below });
  });
});

describe('the gauge', () => {
  // JCGM 100, 4.3.7 and F.2.2.1 (rectangular), k = 2; JCGM 106, 7.6.3 (C = T / 2U), from memory. Steps of 0.5 bar, ± 1.0 bar.
  test('has U of at most 1.25 bar, which a band of 10 bar needs', () => {
    const expanded = 2 * Math.sqrt(0.5 ** 2 / 12 + 1 ** 2 / 3);
    expect(expanded).toBeLessThan(1.25);
    const renewed = gauges.filter(({ tolerance }) => tolerance === 'new-limits');
    expect(renewed.length).toBeGreaterThan(0);
    for (const { capability } of renewed) expect(Number(capability)).toBeCloseTo(10 / (2 * expanded), 1);
  });
});
