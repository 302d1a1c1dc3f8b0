import { describe, expect, test } from 'vitest';
import {
  planRotation,
  type RotationPlan,
  type RotationRefusal,
} from '../../packages/engine/src/crank/index.ts';
import { Rational } from '../../packages/engine/src/quantity/index.ts';
import { type SmallPlan, searchExhaustively } from '../../packages/engine/test/crank/exhaustive-search.ts';

/**
 * Facts of the trade (common practice, no published source). With pump 1 in place and the crank on TDC 1 of the
 * exhaust stroke, the pumps are set from rear to front:
 * - firing order 1-3-4-2: turn 360° and set 4 and 3; turn 360° and set 2 and 1;
 * - firing order 1-2-4-5-3: turn 540° and set 5, 4 and 3; turn 360° and set 2 and 1.
 */
const practice = {
  '1-3-4-2': '360: 4,3; 360: 2,1',
  '1-2-4-5-3': '540: 5,4,3; 360: 2,1',
} as const;
type Order = keyof typeof practice;
const orders = ['1-3-4-2', '1-2-4-5-3'] as const;

const halfTurns = [0, 180, 360, 540];
const sequences = { '1-3-4-2': [4, 3, 2, 1], '1-2-4-5-3': [5, 4, 3, 2, 1] } as const;

function ask(
  order: Order,
  from: number,
  until: number,
  accuracy = 0,
): { readonly plan: RotationPlan } | { readonly refused: readonly RotationRefusal[] } {
  const firingOrder = order.split('-').map(Number);
  return planRotation({
    phasing: {
      cylinders: firingOrder.length,
      firingOrder,
      cycle: Rational.of(720),
      offBase: { from: Rational.of(from), until: Rational.of(until) },
    },
    start: Rational.of(360),
    stops: { every: Rational.of(180) },
    sequence: sequences[order],
    stopAccuracy: Rational.of(accuracy),
  });
}

function planned(order: Order, from: number, until: number, accuracy = 0): string {
  const outcome = ask(order, from, until, accuracy);
  if ('refused' in outcome)
    return outcome.refused.map(({ because, ...rest }) => `${because} ${JSON.stringify(rest)}`).join('; ');
  return outcome.plan.stops
    .map(({ rotation, bores }) => `${rotation.toFraction()}: ${bores.join(',')}`)
    .join('; ');
}

/** Degrees from a stop to the span on either side, 0 inside it, from the positions alone. */
function margin(order: Order, from: number, until: number, bore: number, stop: number): number {
  const firingOrder = order.split('-').map(Number);
  const since = (stop - (firingOrder.indexOf(bore) * 720) / firingOrder.length + 720) % 720;
  return since > until && since < 720 - from ? Math.min(since - until, 720 - from - since) : 0;
}

const search = (order: Order, marginOf: (bore: number, stop: number) => number, accuracy: number) =>
  searchExhaustively(marginOf, 720, 360, halfTurns, sequences[order], accuracy);

const inOneLine = (plan: SmallPlan | undefined) =>
  plan?.stops.map(({ rotation, bores }) => `${rotation}: ${bores.join(',')}`).join('; ');

describe('common practice, no published source', () => {
  // A crank that can be stopped to 4° needs a span no wider than 104° before and 320° after: stops then stand
  // exactly 4° clear, at 108° (= 3 × 36°) before and 324° (= 9 × 36°) after firing TDC.
  describe.each([0, 4])('with stops good to %i°', (accuracy) => {
    test.each(orders)('%s: every span from 1…104 before to 216…320 after gives the practice', (order) => {
      const others = new Set<string>();
      for (let from = 1; from <= 104; from++)
        for (let until = 216; until <= 320; until++) {
          const plan = planned(order, from, until, accuracy);
          if (plan !== practice[order]) others.add(`${from} to ${until}: ${plan}`);
        }
      expect([...others]).toEqual([]);
    });
  });

  test.each(orders)('%s: an exhaustive search over every such span gives the practice too', (order) => {
    // Which bores are free at which stops is all that matters as long as no two plans tie, so that each pattern
    // of free bores is searched once.
    const searchedBefore = new Map<string, string | undefined>();
    for (let from = 1; from <= 104; from++)
      for (let until = 216; until <= 320; until++) {
        const isFree = (bore: number, stop: number) => (margin(order, from, until, bore, stop) > 0 ? 1 : 0);
        const pattern = sequences[order]
          .flatMap((bore) => halfTurns.map((stop) => isFree(bore, stop)))
          .join('');
        if (!searchedBefore.has(pattern)) searchedBefore.set(pattern, inOneLine(search(order, isFree, 0)));
        expect(searchedBefore.get(pattern)).toBe(practice[order]);
      }
  });

  test.each(orders)('%s: planner and exhaustive search agree in the range and around it', (order) => {
    for (let from = 0; from <= 124; from += 4)
      for (let until = 196; until <= 340; until += 6)
        for (const accuracy of [0, 4]) {
          const marginOf = (bore: number, stop: number) => margin(order, from, until, bore, stop);
          const expected = inOneLine(search(order, marginOf, accuracy));
          const found = planned(order, from, until, accuracy);
          if (expected === undefined) expect(found).toMatch(/no-free-stop|stop-accuracy/);
          else expect(found).toBe(expected);
        }
  });
});

describe('just outside the range the practice no longer holds, so the range test has teeth', () => {
  test.each([
    // The ends of the practice with an exact crank, on either side: the stops of 1-2-4-5-3 stand at multiples of
    // 36° from firing TDC (108 = 3 × 36, 216 = 6 × 36, 324 = 9 × 36), those of 1-3-4-2 at multiples of 180°.
    [0, 0, 250, practice['1-3-4-2'], practice['1-2-4-5-3']],
    [0, -1, 250, '540: 4,3,2; 180: 1', practice['1-2-4-5-3']],
    [0, 107, 250, practice['1-3-4-2'], practice['1-2-4-5-3']],
    [0, 108, 250, practice['1-3-4-2'], '360: 5,4; 360: 3; 180: 2,1'],
    [0, 180, 250, '360: 4; 540: 3; 360: 2; 180: 1', '360: 5,4; 180: 3; 360: 2; 540: 1'],
    [0, 50, 215, practice['1-3-4-2'], '540: 5,4,3; 180: 2,1'],
    [0, 50, 179, '360: 4,3,2; 180: 1', '540: 5,4,3; 180: 2,1'],
    [0, 50, 323, practice['1-3-4-2'], practice['1-2-4-5-3']],
    [0, 50, 324, practice['1-3-4-2'], '540: 5,4; 180: 3; 180: 2,1'],
    [0, 50, 360, '540: 4; 540: 3; 360: 2; 180: 1', '540: 5,4; 180: 3; 180: 2,1'],
    // With stops good to 4° a stop must stand 4° clear to count as free.
    [4, 105, 250, practice['1-3-4-2'], '360: 5,4; 360: 3; 180: 2,1'],
    [4, 50, 321, practice['1-3-4-2'], '540: 5,4; 180: 3; 180: 2,1'],
    [4, 50, 213, practice['1-3-4-2'], practice['1-2-4-5-3']],
    [4, 50, 212, practice['1-3-4-2'], '540: 5,4,3; 180: 2,1'],
  ])('stops good to %i°, %i before to %i after', (accuracy, from, until, four, five) => {
    expect(planned('1-3-4-2', from, until, accuracy)).toBe(four);
    expect(planned('1-2-4-5-3', from, until, accuracy)).toBe(five);
  });
});
