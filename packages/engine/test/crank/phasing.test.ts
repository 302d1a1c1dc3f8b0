import { describe, expect, test } from 'vitest';
import {
  camAngle,
  firingAngles,
  followerAt,
  type Phasing,
  phasingFaults,
  strokeAt,
} from '../../src/crank/index.ts';
import { Rational } from '../../src/quantity/index.ts';

const deg = (n: number, d = 1) => Rational.of(n, d);
const four: Phasing = {
  cylinders: 4,
  firingOrder: [1, 3, 4, 2],
  cycle: deg(720),
  offBase: { from: deg(60), until: deg(250) },
};
const kinds = (phasing: Phasing) => phasingFaults(phasing).map(({ fault }) => fault);
const angles = (phasing: Phasing) =>
  [...firingAngles(phasing)].sort(([a], [b]) => a - b).map(([, angle]) => angle.toFraction());

describe('faults of a phasing', () => {
  test.each([
    ['as it should be', {}, []],
    ['an order may start anywhere', { firingOrder: [4, 2, 1, 3] }, []],
    ['a span of no width still counts', { offBase: { from: deg(-5), until: deg(5) } }, []],
    ['two-stroke', { cycle: deg(360) }, []],
    ['a cylinder too many', { firingOrder: [1, 3, 4, 2, 5] }, ['not-a-cylinder']],
    ['a cylinder numbered 0', { firingOrder: [0, 3, 4, 2] }, ['not-a-cylinder', 'missing-cylinder']],
    ['a cylinder twice', { firingOrder: [1, 3, 3, 2] }, ['repeated-cylinder', 'missing-cylinder']],
    ['a cylinder too few', { firingOrder: [1, 3, 4] }, ['missing-cylinder']],
    ['no cylinder', { cylinders: 0, firingOrder: [] }, ['cylinder-count']],
    ['half a cylinder', { cylinders: 3.5 }, ['cylinder-count']],
    ['more than can be', { cylinders: 33 }, ['cylinder-count']],
    ['a cycle of one and a half turns', { cycle: deg(540) }, ['cycle']],
    ['a span that ends before it begins', { offBase: { from: deg(-5), until: deg(4) } }, ['span-reversed']],
    ['a span of the whole cycle', { offBase: { from: deg(400), until: deg(320) } }, ['span-fills-cycle']],
    ['a span just short of it', { offBase: { from: deg(400), until: deg(3199, 10) } }, []],
    ['uneven firing', { firesAt: [deg(0), deg(180), deg(450), deg(630)] }, []],
    ['an angle missing', { firesAt: [deg(0), deg(180), deg(450)] }, ['firing-angle-count']],
    [
      'angles out of turn',
      { firesAt: [deg(0), deg(180), deg(180), deg(720)] },
      ['firing-angles-not-rising', 'firing-angle-outside-cycle'],
    ],
  ])('%s', (_, change, expected) => {
    expect(kinds({ ...four, ...change })).toEqual(expected);
  });
});

describe('firing angles', () => {
  test('cylinder 1 fires at 0 wherever the order starts', () => {
    expect(angles(four)).toEqual(['0', '540', '180', '360']);
    for (const firingOrder of [
      [3, 4, 2, 1],
      [4, 2, 1, 3],
      [2, 1, 3, 4],
    ])
      expect(angles({ ...four, firingOrder })).toEqual(angles(four));
  });

  test('an interval that is no whole number of degrees stays exact', () => {
    const seven = { ...four, cylinders: 7, firingOrder: [1, 2, 3, 4, 5, 6, 7] };
    expect(angles(seven)).toEqual(['0', '720/7', '1440/7', '2160/7', '2880/7', '3600/7', '4320/7']);
  });

  test('uneven angles count from cylinder 1', () => {
    const uneven = { ...four, firingOrder: [3, 1, 2, 4], firesAt: [deg(10), deg(100), deg(400), deg(500)] };
    expect(angles(uneven)).toEqual(['0', '300', '630', '400']);
  });
});

describe('follower', () => {
  const at = (cylinder: number, position: Rational) => {
    const found = followerAt(four, cylinder, position);
    return found && [found.onBaseCircle, found.margin.toFraction()];
  };

  test.each([
    ['firing TDC', 1, deg(0), false, '-60'],
    ['the end of the span', 1, deg(250), false, '0'],
    ['just past it', 1, deg(2501, 10), true, '1/10'],
    ['the start of the span', 1, deg(660), false, '0'],
    ['just before it', 1, deg(6599, 10), true, '1/10'],
    ['half-way round the base circle', 1, deg(455), true, '205'],
    ['half-way through the span', 1, deg(95), false, '-155'],
    ['deep in the span, nearer its end', 1, deg(200), false, '-50'],
    ['cylinder 4 while 1 fires', 4, deg(0), true, '110'],
    ['cylinder 3 before its own firing TDC', 3, deg(119), true, '1'],
    ['a whole cycle on', 3, deg(119 + 720), true, '1'],
    ['a cycle back', 3, deg(119 - 720), true, '1'],
  ] as const)('%s', (_, cylinder, position, onBase, margin) => {
    expect(at(cylinder, position)).toEqual([onBase, margin]);
  });

  test('an unknown cylinder has none', () => expect(at(5, deg(0))).toBeUndefined());
});

describe('stroke', () => {
  test.each([
    [0, 'power', 'firing', 0],
    [179, 'power', 'firing', 179],
    [180, 'exhaust', 'exhaust', -180],
    [359, 'exhaust', 'exhaust', -1],
    [360, 'intake', 'exhaust', 0],
    [539, 'intake', 'exhaust', 179],
    [540, 'compression', 'firing', -180],
    [719, 'compression', 'firing', -1],
  ] as const)('cylinder 1 at %i°', (position, stroke, nearest, offset) => {
    const found = strokeAt(four, 1, deg(position));
    expect(found && { ...found, offset: found.offset.toNumber() }).toEqual({ stroke, nearest, offset });
  });

  test('other cylinders are shifted by their firing angle', () => {
    expect(strokeAt(four, 4, deg(0))?.nearest).toBe('exhaust');
    expect(strokeAt(four, 2, deg(0))?.stroke).toBe('exhaust');
    expect(strokeAt(four, 9, deg(0))).toBeUndefined();
  });

  test('a two-stroke never has an exhaust TDC', () => {
    const two = { ...four, cycle: deg(360) };
    for (let at = 0; at < 360; at += 15) {
      const found = strokeAt(two, 1, deg(at));
      expect([found?.nearest, found?.stroke]).toEqual(['firing', at < 180 ? 'power' : 'compression']);
    }
  });
});

test('the camshaft turns once per cycle', () => {
  expect(camAngle(four, deg(360)).toFraction()).toBe('180');
  expect(camAngle(four, deg(725)).toFraction()).toBe('5/2');
  expect(camAngle({ ...four, cycle: deg(360) }, deg(90)).toFraction()).toBe('90');
});
