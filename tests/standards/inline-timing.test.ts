import { join } from 'node:path';
import { checkPack } from '@ferrule/check';
import { judgeReadings, parseQuantity, pistonDrop, Rational, resolve } from '@ferrule/engine';
import { describe, expect, test } from 'vitest';

/**
 * Timing by the drop of the piston: x = r (1 − cos φ) + l (1 − √(1 − (r/l)² sin² φ)), the slider-crank without an offset
 * (Heywood, Internal Combustion Engine Fundamentals, eq. 2.6; from memory). In double precision, so good to 1e-12 mm.
 */
const drop = ({ r, l }: Crank, degrees: number): number => {
  const { sin, cos } = at(degrees);
  return r * (1 - cos) + l * (1 - Math.sqrt(1 - (r / l) ** 2 * sin ** 2));
};
/** dx/dφ, mm per radian; worked out by hand from the formula. */
const speed = ({ r, l }: Crank, degrees: number): number => {
  const { sin, cos } = at(degrees);
  return r * sin * (1 + ((r / l) * cos) / Math.sqrt(1 - (r / l) ** 2 * sin ** 2));
};

interface Crank {
  readonly r: number;
  readonly l: number;
}
const at = (degrees: number) => {
  const radians = (degrees * Math.PI) / 180;
  return { sin: Math.sin(radians), cos: Math.cos(radians) };
};

/** The source that the table names: a stroke of 110 mm, and so half of it as the radius, and a rod of 190 mm (invented). */
const marram: Crank = { r: 55, l: 190 };

/** Permitted deviation of the timing, and the share of it that the table may take up. */
const DEVIATION = 1;
const SHARE = 1 / 40;

const { pack } = await checkPack(join(import.meta.dirname, '../../specs/marram-inline-timing/1.0.0'), {
  withoutProof: true,
});
if (pack === undefined) throw new Error('the pack was not read');

const points = (pack.tables?.['crank-by-drop']?.points ?? []).map(([length = '', angle = '']) => ({
  mm: /^\d\.\d{3} mm$/.test(length) ? Number.parseFloat(length) : Number.NaN,
  degrees: /^\d+°$/.test(angle) ? Number.parseInt(angle, 10) : Number.NaN,
}));

const decimal = (text: string): Rational => {
  const value = Rational.parse(text);
  if (value === undefined) throw new Error(`no decimal: ${text}`);
  return value;
};

function engineDrop({ r, l }: Crank, degrees: number, grid: string): number {
  const answer = pistonDrop({
    crankRadius: Rational.of(r),
    rodLength: Rational.of(l),
    angle: Rational.of(degrees),
    grid: decimal(grid),
  });
  if (!('drop' in answer)) throw new Error(JSON.stringify(answer));
  return answer.drop.toNumber();
}

describe('the slider-crank', () => {
  // Rose-Hulman, an engine of r = 80 mm and l = 245 mm: inputs read on the page of its exercise, drops computed with
  // mpmath from the formula above. Good to half a unit of the last place.
  test.each([
    [10, 1.609541],
    [20, 6.357257],
    [24, 9.086757],
    [45, 30.051509],
    [90, 93.429276],
    [180, 160],
  ])('at %i° past TDC: %f mm (computed), here and in the engine', (degrees, mm) => {
    const crank = { r: 80, l: 245 };
    expect(Math.abs(drop(crank, degrees) - mm)).toBeLessThanOrEqual(5e-7);
    expect(Math.abs(engineDrop(crank, degrees, '0.000000001') - mm)).toBeLessThanOrEqual(5e-7);
  });

  test('its speed is the slope of its drop', () => {
    for (let degrees = 5; degrees <= 40; degrees += 5) {
      const slope = ((drop(marram, degrees + 0.01) - drop(marram, degrees - 0.01)) / 0.02) * (180 / Math.PI);
      expect(slope / speed(marram, degrees)).toBeCloseTo(1, 6);
    }
  });
});

describe('the table crank-by-drop', () => {
  test('has every whole degree from 8° to 30°', () => {
    expect(points.map(({ degrees }) => degrees)).toEqual(Array.from({ length: 23 }, (_, i) => 8 + i));
  });

  test.each(points)('$mm mm at $degrees°, to the last place', ({ mm, degrees }) => {
    expect(Math.abs(drop(marram, degrees) - mm)).toBeLessThanOrEqual(0.0005 + 1e-12);
    expect(engineDrop(marram, degrees, '0.001')).toBe(mm);
  });
});

type Readings = Readonly<Record<string, string>>;
const plans = new Map(
  [
    ['time-by-shims', 'marram-three'],
    ['time-by-shims', 'marram-four'],
    ['time-by-turning', 'marram-five'],
    ['time-by-turning', 'marram-six'],
  ].map(([procedure = '', variant = '']) => [variant, resolve(pack, { procedure, variant }).plan]),
);

/**
 * What a job would say of readings, with the value in degrees; none beyond the table. The instruments are left out, since
 * the rule of the pack, simple acceptance, does not ask for them.
 */
function judged(variant: string, tolerance: string, readings: Readings) {
  const plan = plans.get(variant);
  const found = plan?.tolerances.find(({ name }) => name === tolerance);
  if (plan === undefined || found === undefined) throw new Error(`no ${tolerance} in ${variant}`);
  const read = (name: string) => {
    const text = readings[name];
    if (text === undefined) return undefined;
    const quantity = parseQuantity(text, text.endsWith('mm') ? 'length' : 'angle');
    if (!('quantity' in quantity)) throw new Error(`no quantity: ${text}`);
    return quantity.quantity;
  };
  const { verdict } = judgeReadings(plan, found, read, () => undefined);
  return {
    verdict: verdict.verdict,
    degrees: 'value' in verdict ? verdict.value?.value.toNumber() : undefined,
  };
}

const leadByDrop = (mm: string): number =>
  judged('marram-four', 'lead-by-drop-limits', { 'drop-at-closing': `${mm} mm` }).degrees ?? Number.NaN;

/**
 * Bound of the error between two points, in degrees. With x the drop, φ″(x) = −x″(φ) / x′(φ)³, and a chord of φ lies
 * within Δx²/8 · max |φ″| of it. From 0° to 30°, x″ = r (cos φ + λ (cos 2φ + λ² sin⁴ φ) / (1 − λ² sin² φ)^(3/2)), with
 * λ = r/l, is positive, so x′ is least where φ is, and each factor of x″ is largest at one of the two ends. The points
 * are rounded to 0.001 mm: each stands up to 0.0005 mm beside the curve, which is 0.0005 mm / x′ in angle, and the chord
 * is off by no more than its ends.
 */
function boundBetween(low: number, high: number): number {
  const lambda = marram.r / marram.l;
  // The rounded points reach a little beyond the true ones.
  const [from, until] = [at(low - 0.01), at(high + 0.01)];
  const root = (1 - lambda ** 2 * until.sin ** 2) ** 1.5;
  const cosTwice = 2 * from.cos ** 2 - 1;
  const most = marram.r * (from.cos + (lambda * (cosTwice + lambda ** 2 * until.sin ** 4)) / root);
  const least = speed(marram, low - 0.01);
  const length = drop(marram, high) - drop(marram, low) + 0.001;
  return ((((length ** 2 / 8) * most) / least ** 3 + 0.0005 / least) * 180) / Math.PI;
}

describe('between two points', () => {
  const spans = points.slice(1).map(({ degrees }) => [degrees - 1, degrees] as const);

  test.each(spans)(
    'from %i° to %i° the table is off by less than a fortieth of what is permitted',
    (low, high) => {
      expect(boundBetween(low, high)).toBeLessThan(SHARE * DEVIATION);
    },
  );

  test('and by less than a hundredth where the timing is judged, 16° to 20°', () => {
    for (let low = 16; low < 20; low++) expect(boundBetween(low, low + 1)).toBeLessThan(DEVIATION / 100);
  });

  test.each(spans)('from %i° to %i° a job finds the angle within that bound, and near to it', (low, high) => {
    let worst = 0;
    for (let part = 0; part <= 20; part++) {
      const degrees = low + part / 20;
      const mm = drop(marram, degrees);
      // The ends of the table are rounded too, and nothing is looked up beyond them.
      const inside = Math.min(Math.max(mm, points[0]?.mm ?? 0), points.at(-1)?.mm ?? 0);
      worst = Math.max(worst, Math.abs(leadByDrop(inside.toFixed(9)) - degrees));
    }
    expect(worst).toBeLessThanOrEqual(boundBetween(low, high) + 1e-6);
    expect(worst).toBeGreaterThan(boundBetween(low, high) / 3);
  });

  test('nothing is found beyond the ends', () => {
    for (const mm of ['0.689', '9.370'])
      expect(judged('marram-four', 'lead-by-drop-limits', { 'drop-at-closing': `${mm} mm` })).toEqual({
        verdict: 'unmeasured',
        degrees: undefined,
      });
  });
});

// Table 8-1 (invented): 19° with three and four cylinders, 18° with five, 17° with six; a degree either way.
describe.each([
  ['marram-three', 19],
  ['marram-four', 19],
  ['marram-five', 18],
  ['marram-six', 17],
])('%s at %i°', (variant, lead) => {
  test.each([
    [-1.05, 'nonconforming'],
    [-0.95, 'conforming'],
    [0, 'conforming'],
    [0.95, 'conforming'],
    [1.05, 'nonconforming'],
  ])('%f° beside it is %s, by the drop that the formula gives', (aside, verdict) => {
    const mm = drop(marram, lead + aside).toFixed(3);
    expect(judged(variant, 'lead-by-drop-limits', { 'drop-at-closing': `${mm} mm` }).verdict).toBe(verdict);
  });

  // A ring numbered to 360°, its numbers rising as the crankshaft turns: `lead` before TDC it shows 360° less `lead`.
  // Whole turns change nothing (definition of the angle).
  test.each([
    ['0°', 360],
    ['1.0°', 361],
    ['359.0°', 359],
    ['-1.0°', 359],
  ])('by the ring, with the pointer at %s at TDC', (tdc, top) => {
    for (const [aside, verdict] of [
      [-1.1, 'nonconforming'],
      [-1, 'conforming'],
      [1, 'conforming'],
      [1.1, 'nonconforming'],
    ] as const) {
      const closing = (top - lead - aside).toFixed(1);
      const readings = { 'ring-at-tdc': tdc, 'ring-at-closing': `${closing}°` };
      const found = judged(variant, 'lead-by-ring-limits', readings);
      expect(found.verdict).toBe(verdict);
      expect(found.degrees).toBeCloseTo(lead + aside, 9);
    }
  });

  test('drop and ring come to one angle for one position of the crankshaft', () => {
    for (let degrees = 10; degrees <= 28; degrees += 0.7) {
      const mm = `${drop(marram, degrees).toFixed(4)} mm`;
      const ring = `${(360 - degrees).toFixed(1)}°`;
      const byDrop = judged(variant, 'lead-by-drop-limits', { 'drop-at-closing': mm }).degrees ?? Number.NaN;
      const byRing = judged(variant, 'lead-by-ring-limits', { 'ring-at-tdc': '0°', 'ring-at-closing': ring });
      expect(Math.abs(byDrop - (byRing.degrees ?? Number.NaN))).toBeLessThan(SHARE * DEVIATION);
    }
  });

  test('a second closing that comes earlier is a positive wander, by drop as by ring', () => {
    const [first, again] = [lead, lead + 0.5].map((degrees) => `${drop(marram, degrees).toFixed(4)} mm`);
    const byDrop = { 'drop-at-closing': first ?? '', 'drop-again': again ?? '' };
    const byRing = { 'ring-at-closing': `${360 - lead}°`, 'ring-again': `${360 - lead - 0.5}°` };
    const [drops, rings] = [
      judged(variant, 'wander-by-drop-limits', byDrop),
      judged(variant, 'wander-by-ring-limits', byRing),
    ];
    expect([drops.verdict, rings.verdict]).toEqual(['conforming', 'conforming']);
    expect(rings.degrees).toBe(0.5);
    expect(Math.abs((drops.degrees ?? Number.NaN) - 0.5)).toBeLessThan(SHARE * DEVIATION);
  });
});
