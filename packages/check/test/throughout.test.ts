import { advance, type Signal, startControl, waysOn } from '@ferrule/engine';
import { expect, test } from 'vitest';
import { length, limits, packOf, planOf, validPack, type Written } from '../../engine/test/small-pack.ts';
import { replayWay, runTrials } from '../src/index.ts';

const speed = {
  measurand: 'Engine speed',
  quantity: 'rotational-speed',
  unit: 'r/min',
  plausible: ['0 r/min', '3000 r/min'],
};
const document = (trials: Written): Written =>
  packOf(
    {
      readings: { gap: length({ throughout: ['speed-limits'] }), speed },
      tolerances: {
        fit: limits('gap'),
        'speed-limits': { of: 'speed', nominal: '1500 r/min', deviation: '25 r/min', source: 's' },
      },
      steps: [{ step: 'measure', read: 'gap', judge: 'fit', 'if-nonconforming': { hold: 'ask-the-lead' } }],
    },
    { trials },
  );

function failuresOf(answers: Written, expected: Written, events: readonly Written[] = []): readonly string[] {
  const trial = {
    says: 's',
    procedure: 'main',
    variant: 'small',
    answers,
    ...(events.length === 0 ? {} : { events }),
    expect: expected,
  };
  const pack = validPack(document({ one: trial }));
  return runTrials(pack, 'sha256:0')[0]?.failures ?? ['none ran'];
}
const readings = { gap: '1.5 mm' };

test('a scripted person says that it held, unless the answers say that it did not', () => {
  expect(failuresOf({ readings }, { outcome: 'closed' })).toEqual([]);
  expect(failuresOf({ readings, held: { gap: 'yes' } }, { outcome: 'closed' })).toEqual([]);
  expect(failuresOf({ readings, held: { gap: 'no' } }, { outcome: 'refused', refused: 'not-held' })).toEqual(
    [],
  );
  expect(failuresOf({ readings, held: { gap: 'no' } }, { outcome: 'closed' })).not.toEqual([]);
});

test('an event can try the reading without it', () => {
  const event = { at: 'measure', answer: '1.5 mm', refused: 'not-held' };
  expect(failuresOf({ readings }, { outcome: 'closed' }, [event])).toEqual([]);
});

test('an answer for a reading with nothing to hold is idle', () => {
  expect(failuresOf({ readings, held: { speed: 'no' } }, { outcome: 'closed' })[0]).toMatch(
    /speed under held/,
  );
});

test('a way is driven through such a reading', () => {
  const plan = planOf(document({}));
  const way: Signal[] = [];
  let control = startControl(plan);
  for (let ways = waysOn(plan, control); ways[0] !== undefined; ways = waysOn(plan, control)) {
    way.push(ways[0]);
    control = advance(plan, control, ways[0]);
  }
  const replayed = replayWay(plan, way);
  expect(replayed.failed).toBeUndefined();
});
