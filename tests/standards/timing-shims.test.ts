import { join } from 'node:path';
import { checkPack } from '@ferrule/check';
import {
  type Amount,
  judgeReadings,
  type Plan,
  parseQuantity,
  Rational,
  resolve,
  selectByReadings,
} from '@ferrule/engine';
import { max, min } from 'mathjs';
import { describe, expect, test } from 'vitest';

/*
 * The prestroke of a unit pump: how far its follower goes up from the base circle until the plunger shuts the port. It
 * is worked out here from heights over the pump seat, in whole thousandths of a millimetre, and never from the formula
 * of the pack (common practice, no published source).
 */
const { pack, gauges } = await checkPack(join(import.meta.dirname, '../../specs/marram-timing-shims/1.0.0'), {
  withoutProof: true,
});
if (pack === undefined) throw new Error('the pack was not read');

/** Table 10-1 (invented): prestroke in thousandths, and the engine. */
const engines = [
  { variant: 'marram-three', prestroke: 3900, order: [1, 3, 2] },
  { variant: 'marram-four', prestroke: 3900, order: [1, 3, 4, 2] },
  { variant: 'marram-five', prestroke: 3800, order: [1, 2, 4, 5, 3] },
  { variant: 'marram-six', prestroke: 3700, order: [1, 5, 3, 6, 2, 4] },
] as const;
const DEVIATION = 60;
const SPREAD = 80;

const plans = new Map(
  engines.map(({ variant }) => [
    variant as string,
    resolve(pack, { procedure: 'set-prestroke', variant }).plan,
  ]),
);
function planOf(variant: string): Plan {
  const plan = plans.get(variant);
  if (plan === undefined) throw new Error(`no plan for ${variant}`);
  return plan;
}

const millimetre = Rational.of(1, 1000);
const oneMillimetre = parseQuantity('1 mm', 'length');
if (!('quantity' in oneMillimetre)) throw new Error('no millimetre');
const base = oneMillimetre.quantity.value;

/** Thousandths of a millimetre as a technician types them, and back. */
const typed = (thousandths: number): string => `${(thousandths / 1000).toFixed(3)} mm`;
const thousandthsOf = (amount: Amount): number => amount.value.over(base).over(millimetre).toNumber();

type Readings = Readonly<Record<string, number>>;
const reader = (readings: Readings) => (name: string) => {
  const value = readings[name];
  if (value === undefined) return undefined;
  const read = parseQuantity(typed(value), 'length');
  if (!('quantity' in read)) throw new Error(`no quantity: ${value}`);
  return read.quantity;
};

/** What a job says of readings in thousandths. The rule of the pack, simple acceptance, asks for no instrument. */
function judged(variant: string, tolerance: string, readings: Readings) {
  const plan = planOf(variant);
  const found = plan.tolerances.find(({ name }) => name === tolerance);
  if (found === undefined) throw new Error(`no ${tolerance} in ${variant}`);
  const { verdict } = judgeReadings(plan, found, reader(readings), () => undefined);
  if (!('value' in verdict) || verdict.value === undefined) throw new Error(`${tolerance} has no value`);
  const side = verdict.verdict === 'nonconforming' ? verdict.side : undefined;
  return { verdict: verdict.verdict, side, value: thousandthsOf(verdict.value) };
}

/** Heights over the pump seat. The pump hangs down from its flange, the follower stands under it. */
interface Bore {
  /** Top of the follower on its base circle: below the seat, so negative. */
  readonly follower: number;
  /** From the flange down to the foot of the plunger as it shuts the port. */
  readonly pump: number;
}
/** The plunger shuts the port when the follower has come up to where its foot then is. */
const rise = ({ follower, pump }: Bore, shims: number): number => shims - pump - follower;

/** A small generator with a seed, so that each run is the same (Park and Miller 1988, from memory). */
function* numbers(seed: number): Generator<number> {
  for (let now = seed; ; now = (now * 48271) % 2147483647) yield now;
}
const cases: (Bore & { readonly shims: number })[] = [];
const draw = numbers(20);
const next = (from: number, to: number): number => from + ((draw.next().value ?? 0) % (to - from + 1));
for (let count = 0; count < 200; count++) {
  const [pump, shims] = [next(6000, 6250) * 10, 50 * next(12, 39) + next(0, 1)];
  // In every third bore the shims that are there nearly do; elsewhere anything may be found.
  const depth = count % 3 === 0 ? 3900 + pump - shims + next(-60, 60) : next(63000, 65000);
  cases.push({ follower: -depth, pump, shims });
}

describe('the prestroke', () => {
  test('is what the follower rises, by the old shims as by the new ones', () => {
    for (const bore of cases) {
      // A depth is measured from the seat down, and from the top of the shims down.
      const readings = {
        'depth-to-follower@1': -bore.follower,
        'depth-over-shims@1': bore.shims - bore.follower,
        'closing-length@1': bore.pump,
        'shims-found@1': bore.shims,
        'shims-laid@1': bore.shims,
      };
      const expected = rise(bore, bore.shims);
      expect(judged('marram-four', 'prestroke-found-limits@1', readings).value).toBe(expected);
      expect(judged('marram-four', 'prestroke-limits@1', readings).value).toBe(expected);
      expect(judged('marram-four', 'lie-limits@1', readings).value).toBe(0);
    }
  });

  test('a follower left on its lobe is lifted, so the depth and the prestroke come out too small', () => {
    for (const lift of [500, 4000, 9000]) {
      const bore = { follower: -63950 + lift, pump: 61250 };
      const readings = { 'depth-over-shims@1': 1200 - bore.follower, 'closing-length@1': bore.pump };
      const { value, side } = judged('marram-four', 'prestroke-limits@1', readings);
      expect(value).toBe(3900 - lift);
      expect(side).toBe('low');
    }
  });

  test('dirt under the pack counts with its sign', () => {
    const readings = { 'depth-to-follower@1': 63950, 'shims-laid@1': 1200 };
    for (const [dirt, verdict] of [
      [31, 'nonconforming'],
      [30, 'conforming'],
      [-30, 'conforming'],
      [-31, 'nonconforming'],
    ] as const) {
      const found = judged('marram-four', 'lie-limits@1', {
        ...readings,
        'depth-over-shims@1': 65150 + dirt,
      });
      expect([found.value, found.verdict]).toEqual([dirt, verdict]);
    }
  });
});

describe.each(engines)('$variant, $prestroke thousandths', ({ variant, prestroke, order }) => {
  test.each([
    [-DEVIATION - 1, 'nonconforming'],
    [-DEVIATION, 'conforming'],
    [0, 'conforming'],
    [DEVIATION, 'conforming'],
    [DEVIATION + 1, 'nonconforming'],
  ])('%i thousandths beside it is %s in each bore', (aside, verdict) => {
    for (const bore of order) {
      const readings = {
        [`depth-over-shims@${bore}`]: prestroke + aside + 61250,
        [`closing-length@${bore}`]: 61250,
      };
      expect(judged(variant, `prestroke-limits@${bore}`, readings).verdict).toBe(verdict);
    }
  });

  test('the spread is the highest less the lowest, whichever bores they are (mathjs)', () => {
    for (let round = 0; round < 40; round++) {
      const lengths = order.map(() => next(6000, 6250) * 10);
      const prestrokes = order.map(() => prestroke + next(-70, 70));
      const readings = Object.fromEntries(
        order.flatMap((bore, index) => [
          [`closing-length@${bore}`, lengths[index] ?? 0],
          [`depth-over-shims@${bore}`, (prestrokes[index] ?? 0) + (lengths[index] ?? 0)],
        ]),
      );
      const spread = max(...prestrokes) - min(...prestrokes);
      const found = judged(variant, 'spread-limit', readings);
      expect(found.value).toBe(spread);
      expect(found.verdict).toBe(spread <= SPREAD ? 'conforming' : 'nonconforming');
    }
  });
});

// The drawer (table 10-3, invented), in thousandths: six thicknesses, up to four on one another, 0.60 mm to 2.00 mm.
const sizes = [100, 150, 200, 300, 500, 1000];
const totals = new Set<number>();
for (const a of sizes)
  for (const b of [0, ...sizes])
    for (const c of [0, ...sizes]) for (const d of [0, ...sizes]) totals.add(a + b + c + d);
const fitting = [...totals].filter((total) => total >= 600 && total <= 2000);

describe('the choice from the drawer', () => {
  test('every twentieth of a millimetre from 0.60 mm to 2.00 mm can be laid', () => {
    expect(fitting.toSorted((a, b) => a - b)).toEqual(Array.from({ length: 29 }, (_, i) => 600 + 50 * i));
  });

  const plan = planOf('marram-four');
  const selection = plan.selections.find(({ name }) => name.includes('@1'));
  if (selection === undefined) throw new Error('bore 1 chooses nothing');

  test('is the total of all that can be laid, and of what lay there, that comes nearest to the prestroke', () => {
    let [chosen, missed, stayed] = [0, 0, 0];
    for (const bore of cases) {
      const readings = {
        'depth-to-follower@1': -bore.follower,
        'closing-length@1': bore.pump,
        'shims-found@1': bore.shims,
      };
      const found = selectByReadings(plan, selection, reader(readings), () => undefined);
      if (found.choice === undefined) throw new Error(`lacks ${found.missing?.join(', ')}`);
      const off = (total: number) => Math.abs(rise(bore, total) - 3900);
      const best = min(...[bore.shims, ...fitting].map(off));
      if (found.choice.choice === 'none-does') {
        missed++;
        expect(best).toBeGreaterThan(DEVIATION);
        continue;
      }
      const { total, predicted, sizes: pieces } = found.choice.best;
      const laid = total.over(base).over(millimetre).toNumber();
      expect(off(laid)).toBe(best);
      expect(thousandthsOf(predicted)).toBe(rise(bore, laid));
      if (pieces.length === 0) {
        stayed++;
        expect(laid).toBe(bore.shims);
      } else {
        chosen++;
        const each = pieces.map((one) => one.over(base).over(millimetre).toNumber());
        expect(each.every((one) => sizes.includes(one)) && each.length <= 4).toBe(true);
        expect(each.reduce((sum, one) => sum + one, 0)).toBe(laid);
      }
    }
    for (const count of [chosen, missed, stayed]) expect(count).toBeGreaterThan(2);
  });

  test('leaves bores that are set by it within 0.05 mm of each other, so the spread of 0.08 mm can be kept', () => {
    // A prestroke chosen in steps of 0.05 mm lies at most half a step beside nominal.
    const widest = 2 * (50 / 2);
    expect(widest).toBeLessThan(SPREAD);
    for (const bore of cases) {
      const nearest = min(...fitting.map((total) => Math.abs(rise(bore, total) - 3900)));
      const needed = 3900 + bore.follower + bore.pump;
      if (needed >= 600 && needed <= 2000) expect(nearest).toBeLessThanOrEqual(widest / 2);
    }
  });
});

describe('the gauges', () => {
  // Standard uncertainties: a/√3 of an error within ±a (JCGM 100:2008, 4.3.7), d/√12 of a step d (F.2.2.1); both from
  // memory. The step of 0.001 mm gives 0.00029 mm in a published budget for a micrometer (read).
  const ofStep = (d: number) => d / Math.sqrt(12);
  const ofError = (a: number) => a / Math.sqrt(3);
  const depth = Math.hypot(ofError(0.004), ofStep(0.001));
  const micrometer = Math.hypot(ofError(0.002), ofStep(0.001));
  const mark = Math.hypot(ofError(0.01), ofStep(0.01));

  test('a step of 0.001 mm is 0.00029 mm', () => {
    expect(Math.abs(ofStep(0.001) - 0.00029)).toBeLessThanOrEqual(5e-6);
  });

  // C = (TU − TL) / 2U with U = 2u (JCGM 106:2012, 7.6.3, from memory). Two depths with one instrument are the difference
  // of two readings of which nothing is said to be common: both errors count.
  test.each([
    ['prestroke-found-limits', 0.12, Math.hypot(depth, micrometer, mark)],
    ['prestroke-limits', 0.12, Math.hypot(depth, mark)],
    ['lie-limits', 0.06, Math.hypot(depth, depth, micrometer)],
  ])('%s: the index is the width by twice U', (tolerance, width, u) => {
    const gauge = gauges.find((one) => one.tolerance === tolerance);
    const index = Number(gauge?.capability);
    expect(Math.abs(index - width / (4 * u))).toBeLessThanOrEqual(0.1);
    expect(index).toBeGreaterThanOrEqual(4);
  });
});

describe.each(engines)('the stops of $variant', ({ variant, ...engine }) => {
  const order: readonly number[] = engine.order;
  const { rotation } = planOf(variant).crank;
  if (rotation === undefined) throw new Error('no rotation plan');
  /** Degrees after the firing TDC of a cylinder: it fires every 720°/n, in the order of the engine (definition). */
  const sinceFiring = (bore: number, at: number): number => {
    const fires = (720 / order.length) * order.indexOf(bore);
    return (((at - fires) % 720) + 720) % 720;
  };
  /** The pack: on the lobe from 70° before to 250° after firing, and the crank may stand 8° off. */
  const isFree = (bore: number, at: number): boolean =>
    sinceFiring(bore, at) > 250 + 8 && sinceFiring(bore, at) < 720 - 70 - 8;

  test('each bore is measured once, where its follower stands on the base circle', () => {
    expect(rotation.stops.flatMap(({ bores }) => bores).toSorted()).toEqual(order.toSorted());
    for (const { position, bores } of rotation.stops)
      for (const bore of bores) expect(isFree(bore, position.toNumber())).toBe(true);
  });

  test('no order of the bores turns the crankshaft less', () => {
    // From TDC 1 of the exhaust stroke, only onwards, over the two half-turn marks.
    const turnedUntilAllWere = (): number => {
      const left = new Set<number>(order);
      for (let turned = 180; ; turned += 360) {
        for (const bore of left) if (isFree(bore, (360 + turned) % 720)) left.delete(bore);
        if (left.size === 0) return turned;
      }
    };
    expect(rotation.total.toNumber()).toBe(turnedUntilAllWere());
  });
});
