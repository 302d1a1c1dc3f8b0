import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type AllowedStops,
  type Phasing,
  planRotation,
  type RotationRequest,
} from '../../src/crank/index.ts';
import { Rational } from '../../src/quantity/index.ts';
import { marginByCounting, searchExhaustively } from './exhaustive-search.ts';

const deg = (n: number, d = 1) => Rational.of(n, d);

function phasing(order: string, from: number, until: number, cycle = 720): Phasing {
  const firingOrder = order.split('-').map(Number);
  return {
    cylinders: firingOrder.length,
    firingOrder,
    cycle: deg(cycle),
    offBase: { from: deg(from), until: deg(until) },
  };
}

const rearToFront = (engine: Phasing) =>
  Array.from({ length: engine.cylinders }, (_, i) => engine.cylinders - i);

function request(
  engine: Phasing,
  stops: AllowedStops,
  change: Partial<RotationRequest> = {},
): RotationRequest {
  return {
    phasing: engine,
    start: deg(360),
    stops,
    sequence: rearToFront(engine),
    stopAccuracy: deg(0),
    ...change,
  };
}

/** A plan in one line: `rotation@position: bores`. */
function plan(asked: RotationRequest): string {
  const outcome = planRotation(asked);
  if ('refused' in outcome) return `refused: ${outcome.refused.map(({ because }) => because).join(', ')}`;
  return outcome.plan.stops
    .map(
      ({ rotation, position, bores }) =>
        `${rotation.toFraction()}@${position.toFraction()}: ${bores.join(',')}`,
    )
    .join('; ');
}

const halfTurns = { every: deg(180) };
const anywhere = { anywhere: true, grid: deg(1) } as const;

describe('plans', () => {
  // Each worked by hand from the off-base spans of the cylinders, 60° before to 250° after firing TDC. In the
  // three-cylinder engines the end of a span falls on a stop (cylinder 3 or 2 at 660° after firing): not free.
  test.each<[string, AllowedStops, Partial<RotationRequest>, string]>([
    // Pump 3 is free at 0 with 180° to spare and at 540 with 50°, for the same total.
    ['1-3-2', halfTurns, {}, '360@0: 3; 360@360: 2,1'],
    // Pump 3 is free at 180 with 170° to spare and at 360 with 60°, for the same total.
    ['1-2-3', halfTurns, {}, '540@180: 3; 360@540: 2,1'],
    ['1-5-3-6-2-4', halfTurns, {}, '360@0: 6,5; 360@360: 4; 360@0: 3; 360@360: 2,1'],
    // Pump 4 is free at 0 with 110° to spare and at 180 with 120°, for the same total.
    ['1-3-4-2', halfTurns, { sequence: [4, 1, 3] }, '540@180: 4; 360@540: 1,3'],
    ['1-3-4-2', halfTurns, { sequence: [2] }, '540@180: 2'],
    ['1-3-4-2', halfTurns, { start: deg(0) }, '720@0: 4,3; 360@360: 2,1'],
    // Free: 4 up to 299, 3 up to 119, 2 from 71, 1 from 251. So 4, 3 and 2 share a stop, best at 95.
    ['1-3-4-2', anywhere, {}, '455@95: 4,3,2; 156@251: 1'],
    ['1-3-4-2', anywhere, { stopAccuracy: deg(10) }, '455@95: 4,3,2; 165@260: 1'],
    // No stop for 4, 3 and 2 together is that roomy; 4 and 3 have 611 to 839, best at 725 or 5 past the cycle.
    ['1-3-4-2', anywhere, { stopAccuracy: deg(26) }, '365@5: 4,3; 271@276: 2,1'],
    ['1-3-4-2', { anywhere: true, grid: deg(1, 2) }, {}, '455@95: 4,3,2; 311/2@501/2: 1'],
  ])('%s %j %j', (order, stops, change, expected) => {
    expect(plan(request(phasing(order, 60, 250), stops, change))).toBe(expected);
  });
});

test('plans alike in all else take the smallest turns first', () => {
  // Span 0 to 360: pump 3 is free at 240 and 360, 2 at 0 and 120, 1 at 480 and 600, always with 120° to spare.
  const engine = phasing('1-2-3', 0, 360);
  const asked = request(engine, { every: deg(120) }, { start: deg(0) });
  expect(plan(asked)).toBe('240@240: 3; 480@0: 2; 480@480: 1');
});

describe('margins and totals', () => {
  test('four cylinders at half turns', () => {
    const outcome = planRotation(request(phasing('1-3-4-2', 60, 250), halfTurns));
    if ('refused' in outcome) throw new Error('refused');
    const { stops, total, leastMargin } = outcome.plan;
    // Worked by hand. At 0: 4 is at 360 (110 past its span, 300 short of the next), 3 is at 540, 120 short.
    // At 360 the same holds for 1 and 2.
    expect(stops.map(({ margins }) => margins.map((m) => [m.bore, m.margin.toNumber()]))).toEqual([
      [
        [4, 110],
        [3, 120],
      ],
      [
        [2, 120],
        [1, 110],
      ],
    ]);
    expect([total.toNumber(), leastMargin.toNumber()]).toEqual([720, 110]);
  });
});

describe('refusals', () => {
  const engine = phasing('1-3-4-2', 60, 250);
  const refused = (asked: RotationRequest) => {
    const outcome = planRotation(asked);
    return 'refused' in outcome ? JSON.parse(JSON.stringify(outcome.refused)) : [];
  };

  test('a bore that no stop frees is named with its least bad stop', () => {
    expect(refused(request(engine, { at: [deg(0), deg(100)] }))).toEqual([
      { because: 'no-free-stop', bore: 1, position: '0', margin: '-60' },
    ]);
  });

  test('a stop on the very end of the span is not free', () => {
    expect(plan(request(engine, { at: [deg(250)] }, { sequence: [1] }))).toBe('refused: no-free-stop');
    expect(plan(request(engine, { at: [deg(2501, 10)] }, { sequence: [1] }))).toBe('6101/10@2501/10: 1');
  });

  test('a margin smaller than the crank can be stopped to is refused and named', () => {
    const stops = { at: [deg(0), deg(253), deg(650)] };
    const asked = request(engine, stops, { sequence: [1], stopAccuracy: deg(11) });
    expect(refused(asked)).toEqual([
      { because: 'stop-accuracy', bore: 1, position: '650', margin: '10', stopAccuracy: '11' },
    ]);
    expect(plan({ ...asked, stopAccuracy: deg(10) })).toBe('290@650: 1');
  });

  test('a tight stop is passed over when a roomier plan exists, even one with more stops', () => {
    const stops = { at: [deg(475), deg(500), deg(100)] };
    const asked = request(engine, stops, { sequence: [1, 2] });
    expect(plan(asked)).toBe('115@475: 1,2');
    expect(plan({ ...asked, stopAccuracy: deg(6) })).toBe('115@475: 1; 345@100: 2');
  });

  test.each<[string, Partial<RotationRequest>, string]>([
    ['an order that is none', { phasing: { ...engine, firingOrder: [1, 3, 3, 2] } }, 'phasing, phasing'],
    ['a start outside the cycle', { start: deg(720) }, 'start-outside-cycle'],
    [
      'a stop outside the cycle',
      { stops: { at: [deg(0), deg(-1), deg(720)] } },
      'stop-outside-cycle, stop-outside-cycle',
    ],
    ['a stop twice', { stops: { at: [deg(5), deg(0), deg(10, 2)] } }, 'repeated-stop'],
    ['no stops', { stops: { at: [] } }, 'stop-count'],
    ['a step of nothing', { stops: { every: deg(0) } }, 'uneven-step'],
    ['a step that does not come round', { stops: { every: deg(100) } }, 'uneven-step'],
    ['a grid without end', { stops: { anywhere: true, grid: deg(1, 1_000_000) } }, 'stop-count'],
    ['an accuracy below nothing', { stopAccuracy: deg(-1) }, 'negative-accuracy'],
    ['nothing to visit', { sequence: [] }, 'empty-sequence'],
    ['a bore that is not there', { sequence: [4, 5] }, 'not-a-cylinder'],
    ['a bore twice', { sequence: [4, 3, 4] }, 'repeated-bore'],
    ['several at once', { start: deg(-1), sequence: [7] }, 'start-outside-cycle, not-a-cylinder'],
  ])('%s', (_, change, because) => {
    expect(plan(request(engine, halfTurns, change))).toBe(`refused: ${because}`);
  });
});

describe('turning', () => {
  const one = phasing('1', 60, 250);
  test('coming back to the start takes a whole cycle', () => {
    expect(plan(request(one, { at: [deg(360)] }))).toBe('720@360: 1');
  });
});

describe('a plan is the one that an exhaustive search finds', () => {
  const ordersUpTo = (most: number) =>
    fc
      .integer({ min: 1, max: most })
      .chain((n) => fc.shuffledSubarray([1, 2, 3, 4, 5].slice(0, n), { minLength: n }))
      .chain((order) => fc.tuple(fc.constant(order), fc.shuffledSubarray(order, { minLength: 1 })));

  // Many stops let plans differ in their margins alone; few stops let them need many turns.
  test.each([
    [
      'few stops',
      ordersUpTo(5),
      fc.uniqueArray(fc.integer({ min: 0, max: 71 }), { minLength: 1, maxLength: 5 }),
      1200,
    ],
    ['a grid', ordersUpTo(3), fc.constant(Array.from({ length: 24 }, (_, i) => i * 3)), 400],
  ])('%s', (_, orders, stopsIn72nds, numRuns) => {
    const seen = { plans: 0, several: 0, refusals: 0 };
    fc.assert(
      fc.property(
        orders,
        fc.constantFrom(360, 720),
        fc.integer({ min: -40, max: 160 }),
        fc.integer({ min: 40, max: 330 }),
        fc.integer({ min: 0, max: 359 }),
        stopsIn72nds,
        fc.integer({ min: 0, max: 30 }),
        ([order, sequence], cycle, from, until, start, parts, stopAccuracy) => {
          fc.pre(from + until < cycle);
          const positions = parts.map((part) => (part * cycle) / 72);
          const marginOf = remembered((bore, at) =>
            marginByCounting({ order, cycle, from, until }, bore, at),
          );
          const expected = searchExhaustively(marginOf, cycle, start, positions, sequence, stopAccuracy);
          const outcome = planRotation({
            phasing: phasing(order.join('-'), from, until, cycle),
            start: deg(start),
            stops: { at: positions.map((at) => deg(at)) },
            sequence,
            stopAccuracy: deg(stopAccuracy),
          });
          if ('refused' in outcome) {
            seen.refusals++;
            expect(expected).toBeUndefined();
            for (const { because } of outcome.refused)
              expect(['no-free-stop', 'stop-accuracy']).toContain(because);
          } else {
            seen.plans++;
            if (outcome.plan.stops.length > 1) seen.several++;
            const { stops, total, leastMargin } = outcome.plan;
            expect({
              stops: stops.map(({ position, rotation, bores, margins }) => ({
                position: position.toNumber(),
                rotation: rotation.toNumber(),
                bores,
                margin: Math.min(...margins.map(({ margin }) => margin.toNumber())),
              })),
              total: total.toNumber(),
              leastMargin: leastMargin.toNumber(),
            }).toEqual(expected);
          }
        },
      ),
      { numRuns },
    );
    // A run that met only plans, or only refusals, would have shown little.
    expect(Math.min(seen.plans, seen.several)).toBeGreaterThan(20);
    expect(seen.refusals).toBeGreaterThan(0);
  });
});

function remembered(marginOf: (bore: number, position: number) => number): typeof marginOf {
  const known = new Map<string, number>();
  return (bore, position) => {
    const key = `${bore} ${position}`;
    const margin = known.get(key) ?? marginOf(bore, position);
    known.set(key, margin);
    return margin;
  };
}

test('sixteen cylinders and 720 stops are planned at once', () => {
  const order = '1-2-3-4-5-6-7-8-9-10-11-12-13-14-15-16';
  const started = performance.now();
  const outcome = planRotation(request(phasing(order, 100, 300), anywhere, { stopAccuracy: deg(2) }));
  const took = performance.now() - started;
  expect('plan' in outcome && outcome.plan.stops.flatMap(({ bores }) => bores)).toEqual(
    rearToFront(phasing(order, 0, 0)),
  );
  expect(took).toBeLessThan(1000);
});
