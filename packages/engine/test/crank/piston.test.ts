import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { angleForDrop, pistonDrop, type SliderCrank } from '../../src/crank/index.ts';
import { angleOf, fromFixed, ONE, sineAndCosine, squareRoot } from '../../src/quantity/fixed-point.ts';
import { Rational } from '../../src/quantity/index.ts';

const r = (n: number | bigint, d: number | bigint = 1) => Rational.of(n, d);

describe('fixed point', () => {
  const within = (a: bigint, b: bigint, bits: bigint) => {
    const difference = a - b;
    expect(difference < 0n ? -difference : difference).toBeLessThan(ONE >> bits);
  };

  test('known sines: 30° is 1/2, 45° is √½, 18° is (√5 − 1)/4, multiples of 90° are exact', () => {
    within(sineAndCosine(r(30)).sine, ONE / 2n, 180n);
    within(sineAndCosine(r(-30)).sine, -ONE / 2n, 180n);
    within(sineAndCosine(r(45)).cosine, squareRoot(ONE / 2n), 180n);
    within(sineAndCosine(r(135)).cosine, -squareRoot(ONE / 2n), 180n);
    within(sineAndCosine(r(18)).sine, (squareRoot(5n * ONE) - ONE) / 4n, 180n);
    within(sineAndCosine(r(240)).cosine, -ONE / 2n, 180n);
    for (const [angle, sine, cosine] of [
      [0, 0n, ONE],
      [90, ONE, 0n],
      [180, 0n, -ONE],
      [-90, -ONE, 0n],
      [7290, ONE, 0n],
    ] as const)
      expect(sineAndCosine(r(angle))).toEqual({ sine, cosine });
  });

  test('sine and cosine agree with Math to its accuracy, and lie on the unit circle to 2^-180', () => {
    fc.assert(
      fc.property(fc.integer({ min: -72000, max: 72000 }), (hundredths) => {
        const { sine, cosine } = sineAndCosine(r(hundredths, 100));
        const radians = (hundredths / 100 / 180) * Math.PI;
        expect(fromFixed(sine).toNumber()).toBeCloseTo(Math.sin(radians), 12);
        expect(fromFixed(cosine).toNumber()).toBeCloseTo(Math.cos(radians), 12);
        within((sine * sine + cosine * cosine) / ONE, ONE, 180n);
      }),
      { numRuns: 200 },
    );
  });

  test('an angle comes back from its sine and cosine to 2^-150', () => {
    for (let angle = -179; angle <= 180; angle += 0.5) {
      const asked = r(angle * 2, 2);
      const off = angleOf(sineAndCosine(asked)).minus(asked).abs();
      expect(off.compare(r(1n, 1n << 150n))).toBe(-1);
    }
  });

  test('the square root is the greatest whose square is not above', () => {
    fc.assert(
      fc.property(fc.bigInt({ min: 0n, max: ONE * 9n }), (value) => {
        const root = squareRoot(value);
        expect(root * root <= value * ONE && (root + 1n) * (root + 1n) > value * ONE).toBe(true);
      }),
    );
    expect([squareRoot(0n), squareRoot(-1n), squareRoot(ONE * 4n)]).toEqual([0n, 0n, ONE * 2n]);
  });
});

/** The same geometry in doubles, from the positions of the two pins; TDC is where the piston stops rising. */
function dropInDoubles(radius: number, rod: number, offset: number, angle: number): number {
  const at = (degrees: number) => {
    const radians = (degrees / 180) * Math.PI;
    const [x, y] = [radius * Math.sin(radians), radius * Math.cos(radians)];
    const upright = Math.sqrt(rod ** 2 - (x - offset) ** 2);
    return { height: y + upright, rises: -x - ((x - offset) * y) / upright > 0 };
  };
  let [low, high] = [-60, 60];
  for (let halving = 0; halving < 60; halving++) {
    const middle = (low + high) / 2;
    if (at(middle).rises) low = middle;
    else high = middle;
  }
  return at(low).height - at(low + angle).height;
}

const shapes = fc
  .tuple(
    fc.integer({ min: 10, max: 200 }),
    fc.integer({ min: 2500, max: 5000 }),
    fc.integer({ min: -300, max: 300 }),
  )
  .map(([radius, ratio, aside]) => ({
    crankRadius: r(radius),
    rodLength: r(radius * ratio, 1000),
    offset: r(radius * aside, 1000),
  }));
const grid = r(1, 1_000_000);

// Rounding to the grid leaves half of it, and the doubles some parts in 1e12.
test('the drop, with an offset too, is that of the geometry in doubles', () => {
  fc.assert(
    fc.property(shapes, fc.integer({ min: -1800, max: 1800 }), (shape, tenths) => {
      const found = pistonDrop({ ...shape, angle: r(tenths, 10), grid });
      const expected = dropInDoubles(
        shape.crankRadius.toNumber(),
        shape.rodLength.toNumber(),
        shape.offset.toNumber(),
        tenths / 10,
      );
      if ('refused' in found) throw new Error('refused');
      expect(Math.abs(found.drop.toNumber() - expected)).toBeLessThan(0.501e-6);
      expect(found.drop.mod(grid).sign).toBe(0);
    }),
    {
      numRuns: 150,
      examples: [[{ crankRadius: r(197), rodLength: r(246053, 250), offset: r(16351, 1000) }, -496]],
    },
  );
});

test('angle and drop are inverse on both sides of TDC', () => {
  const fine = r(1n, 10n ** 20n);
  const coarse = r(1, 1_000_000);
  fc.assert(
    fc.property(shapes, fc.integer({ min: -1600, max: 1600 }), (shape, tenths) => {
      const angle = r(tenths, 10);
      const there = pistonDrop({ ...shape, angle, grid: fine });
      if ('refused' in there) throw new Error('refused');
      const side = tenths < 0 ? 'before-tdc' : 'after-tdc';
      const back = angleForDrop({ ...shape, drop: there.drop, side, grid: coarse });
      expect('angle' in back && back.angle.toFraction()).toBe(angle.toFraction());
    }),
    { numRuns: 150 },
  );
});

describe('the ends of the stroke', () => {
  const shape = { crankRadius: r(3), rodLength: r(10) };
  const angles = (query: SliderCrank, drop: Rational) =>
    (['before-tdc', 'after-tdc'] as const).map((side) => {
      const found = angleForDrop({ ...query, drop, side, grid: r(1, 1000) });
      return 'refused' in found ? 'refused' : found.angle.toDecimal(3);
    });

  test('no offset', () => {
    expect(angles(shape, r(0))).toEqual(['0.000', '0.000']);
    expect(angles(shape, r(6))).toEqual(['-180.000', '180.000']);
  });

  test('with an offset the way down is longer than the way up', () => {
    // Radius 3, rod 10, offset 1: TDC at asin(1/13) = 4.4117°, BDC at 180° + asin(1/7) = 188.2132° from the line
    // through the crank axis; the stroke is √168 − √48 = 6.03327816654…. The drop is cut just short of it: 5e-10 is
    // worth about 0.001° at BDC.
    const offset = { ...shape, offset: r(1) };
    const stroke = r(6_033_278_166n, 10n ** 9n);
    const [before, after] = angles(offset, stroke).map(Number);
    const fromTop = 180 + ((Math.asin(1 / 7) - Math.asin(1 / 13)) / Math.PI) * 180;
    expect(after).toBeCloseTo(fromTop, 2);
    expect(before).toBeCloseTo(fromTop - 360, 2);
    expect(after).toBeGreaterThan(183);
    // Mirrored, the way down is the shorter.
    expect(angles({ ...shape, offset: r(-1) }, stroke).map(Number)).toEqual([-(after ?? 0), -(before ?? 0)]);
  });

  test('beyond them is refused with the stroke', () => {
    for (const drop of [r(-1, 1000), r(6001, 1000)]) {
      const found = angleForDrop({ ...shape, drop, side: 'after-tdc', grid: r(1, 1000) });
      expect(JSON.parse(JSON.stringify(found))).toEqual({
        refused: [{ fault: 'beyond-stroke', drop: drop.toFraction(), stroke: '6' }],
      });
    }
  });
});

test.each([
  [{ crankRadius: r(0) }, ['not-positive']],
  [{ rodLength: r(-1) }, ['not-positive', 'rod-too-short']],
  [{ grid: r(0) }, ['not-positive']],
  [{ rodLength: r(3) }, ['rod-too-short']],
  [{ offset: r(-7) }, ['rod-too-short']],
  [{ offset: r(-69, 10) }, []],
])('a shape that cannot be: %j', (change, expected) => {
  const query = { crankRadius: r(3), rodLength: r(10), grid: r(1, 1000), ...change };
  const faults = [
    pistonDrop({ ...query, angle: r(40) }),
    angleForDrop({ ...query, drop: r(1), side: 'after-tdc' as const }),
  ].map((found) => ('refused' in found ? found.refused.map(({ fault }) => fault) : []));
  expect(faults).toEqual([expected, expected]);
});
