import { advance, type Plan, type Signal, startControl, waysOn } from '@ferrule/engine';
import { describe, expect, test } from 'vitest';
import { length, limits, packOf, planOf, type Written } from '../../engine/test/small-pack.ts';
import { type Replayed, replayWay } from '../src/index.ts';

/**
 * The signals of a way: the first one on, save where the wish names what is to happen instead: `high`, `low`,
 * `conforming`, `true`, `false`, the part of a serial number or the name of a signal, used up one after the other.
 */
function wayOf(plan: Plan, ...wishes: readonly string[]): readonly Signal[] {
  const left = [...wishes];
  const out: Signal[] = [];
  let control = startControl(plan);
  for (let ways = waysOn(plan, control); ways.length > 0; ways = waysOn(plan, control)) {
    const wished = ways.find((one) => left[0] !== undefined && nameOf(one) === left[0]);
    const isChoice = ways.length > 1 || (ways[0] !== undefined && nameOf(ways[0]) === left[0]);
    const signal = wished ?? ways[0];
    if (isChoice && wished !== undefined) left.shift();
    if (signal === undefined) break;
    out.push(signal);
    control = advance(plan, control, signal);
  }
  expect(left).toEqual([]);
  return out;
}

function nameOf(signal: Signal): string {
  if (signal.signal === 'judged') return signal.outcome;
  if (signal.signal === 'branched') return signal.truth.join(' ');
  return signal.signal === 'identified' ? signal.part : signal.signal;
}

const readingsOf = (replayed: Replayed): readonly string[] =>
  replayed.failed === undefined
    ? replayed.facts.flatMap(({ fact }) => (fact.kind === 'reading' ? [fact.typed] : []))
    : [replayed.failed.why];

const remedy = { 'if-nonconforming': { hold: 'ask-the-lead' } };
const judged = (step: string, read: string | readonly string[], judge: string): Written => ({
  step,
  do: 'x',
  read,
  judge,
  ...remedy,
});

const gauge: Written = {
  instruments: {
    gauge: { title: 'Gauge', quantity: 'length', range: ['0 mm', '5 mm'], resolution: '0.05 mm' },
  },
};

describe('limits that are worked out from readings', () => {
  const fit = {
    of: 'gap',
    nominal: '3.0 mm',
    plus: { if: [{ '<=': [{ var: 'base' }, '2 mm'] }, '1 mm', '0.2 mm'] },
    minus: '0.2 mm',
    source: 'invented',
  };
  const plan = planOf(
    packOf({
      readings: { base: length(), gap: length() },
      tolerances: { fit },
      steps: [{ step: 'base', read: 'base' }, judged('measure', 'gap', 'fit')],
    }),
  );

  test.each(['conforming', 'high', 'low'])('are met or missed as a way wants it: %s', (outcome) => {
    const [base = Number.NaN, gap = Number.NaN] = readingsOf(replayWay(plan, wayOf(plan, outcome))).map(
      Number.parseFloat,
    );
    const high = base <= 2 ? 4 : 3.2;
    expect(gap > high ? 'high' : gap < 2.8 ? 'low' : 'conforming').toBe(outcome);
  });
});

describe('one reading', () => {
  const plan = planOf(
    packOf(
      {
        readings: { gap: length({ instrument: 'gauge' }) },
        tolerances: { fit: limits('gap') },
        steps: [judged('measure', 'gap', 'fit')],
      },
      gauge,
    ),
  );

  test.each([
    ['conforming', '1.50 mm'],
    ['high', '2.05 mm'],
    ['low', '0.95 mm'],
  ])('comes out %s by an indication of its instrument', (outcome, typed) => {
    expect(readingsOf(replayWay(plan, wayOf(plan, outcome)))).toEqual([typed]);
  });

  test('the range of the instrument bounds it too', () => {
    const far = planOf(
      packOf(
        {
          readings: { gap: length({ instrument: 'gauge' }) },
          tolerances: { fit: limits('gap', { between: ['1 mm', '6 mm'] }) },
          steps: [judged('measure', 'gap', 'fit')],
        },
        gauge,
      ),
    );
    expect(replayWay(far, wayOf(far, 'high')).failed).toEqual({
      after: 2,
      because: 'no-values',
      why: expect.stringContaining('must come out too high'),
    });
  });
});

describe('a reading beyond the scale', () => {
  const unsure = { 'if-inconclusive': { hold: 'ask-the-lead' } };
  const planFor = (tolerance: Written, more: Written = {}): Plan =>
    planOf(
      packOf(
        {
          readings: { gap: length({ instrument: 'gauge' }), play: length() },
          tolerances: { fit: { of: 'gap', source: 's', ...tolerance } },
          steps: [{ ...judged('measure', 'gap', 'fit'), ...more }],
        },
        gauge,
      ),
    );

  test('is what brings about a verdict that no value on it does', () => {
    const high = planFor({ 'at-most': '5 mm' });
    expect(readingsOf(replayWay(high, wayOf(high, 'high')))).toEqual(['> 5 mm']);
    const unclear = planFor({ between: ['1 mm', '6 mm'] }, unsure);
    expect(readingsOf(replayWay(unclear, wayOf(unclear, 'inconclusive')))).toEqual(['> 5 mm']);
  });

  test('leaves the others their values', () => {
    const derived = { derived: { sum: { is: { '+': [{ var: 'gap' }, { var: 'play' }] } } } };
    const plan = planOf(
      packOf(
        {
          readings: { gap: length({ instrument: 'gauge' }), play: length() },
          ...derived,
          tolerances: { fit: { of: 'sum', 'at-most': '6 mm', source: 's' }, 'play-fit': limits('play') },
          steps: [judged('first', 'play', 'play-fit'), { ...judged('measure', 'gap', 'fit'), ...unsure }],
        },
        gauge,
      ),
    );
    const typed = readingsOf(replayWay(plan, wayOf(plan, 'high', 'released', 'inconclusive')));
    expect(Number.parseFloat(typed[0] ?? '')).toBeGreaterThan(2);
    expect(typed.slice(1)).toEqual(['> 5 mm']);
  });
});

describe('a reading that is repeated', () => {
  const plan = (more: Written): Plan =>
    planOf(
      packOf(
        {
          readings: { gap: length({ instrument: 'gauge', repeats: { times: '3', ...more } }) },
          tolerances: { fit: limits('gap') },
          steps: [{ step: 'first', do: 'x' }, judged('measure', 'gap', 'fit')],
        },
        gauge,
      ),
    );

  test.each([{}, { 'agree-within': '0.01 mm', most: '9' }, { take: 'lowest' }])('%j', (more) => {
    const three = plan(more);
    const way = wayOf(three, 'high');
    const replayed = replayWay(three, way);
    expect(readingsOf(replayed)).toEqual(['2.05 mm', '2.05 mm', '2.05 mm']);
    // The signal of the reading comes from the fact that completes it.
    const { factOf = [], facts = [] } = replayed.failed === undefined ? replayed : {};
    const place = way.findIndex((one) => one.signal === 'recorded');
    expect(facts[factOf[place] ?? -1]?.fact).toMatchObject({ kind: 'reading', repeat: 3 });
  });
});

describe('an angle on a circle', () => {
  const disc = { title: 'Disc', quantity: 'angle', range: ['0°', '360°'], resolution: '0.5°' };
  const planFor = (tolerance: Written, steps: readonly Written[] = []): Plan =>
    planOf(
      packOf(
        {
          readings: {
            begin: {
              measurand: 'b',
              quantity: 'angle',
              unit: '°',
              instrument: 'disc',
              plausible: ['340°', '380°'],
              circle: '360°',
            },
          },
          tolerances: { fit: { of: 'begin', source: 's', ...tolerance } },
          steps: [judged('measure', 'begin', 'fit'), ...steps],
        },
        { instruments: { disc } },
      ),
    );
  const near = { nominal: '0°', deviation: '1°' };

  test.each([
    ['conforming', '360.0 °'],
    ['high', '1.5 °'],
    ['low', '358.5 °'],
  ])('comes out %s as its instrument shows it', (outcome, typed) => {
    const plan = planFor(near);
    expect(readingsOf(replayWay(plan, wayOf(plan, outcome)))).toEqual([typed]);
  });

  test('two limits with other middles are met by one angle', () => {
    const two = planOf(
      packOf(
        {
          readings: {
            begin: {
              measurand: 'b',
              quantity: 'angle',
              unit: '°',
              plausible: ['340°', '380°'],
              circle: '360°',
            },
          },
          tolerances: {
            fit: { of: 'begin', source: 's', ...near },
            round: { of: 'begin', between: ['355°', '365°'], source: 's' },
          },
          steps: [judged('measure', 'begin', 'fit'), { step: 'again', judge: 'round', ...remedy }],
        },
        {},
      ),
    );
    const typed = readingsOf(replayWay(two, wayOf(two, 'low', 'released', 'low')));
    expect(typed).toHaveLength(1);
    expect(Number.parseFloat(typed[0] ?? '')).toBeLessThan(355);
  });
});

describe('several readings', () => {
  const bores = ['1', '2', '3'];
  const each = (steps: readonly Written[]): Written => ({ each: 'bore', of: bores, steps });
  const plan = (is: Written, more: Written): Plan =>
    planOf(
      packOf({
        readings: { gap: length({ per: 'bore' }) },
        derived: { all: { is } },
        tolerances: { fit: limits('gap'), together: { of: 'all', source: 's', ...more } },
        steps: [each([judged('measure', 'gap', 'fit')]), { step: 'compare', judge: 'together', ...remedy }],
      }),
    );
  const conforming = ['conforming', 'conforming', 'conforming'];

  test('a spread too high although each conforms', () => {
    const spread = plan({ spread: [{ 'every-bore': 'gap' }] }, { 'at-most': '0.6 mm' });
    const typed = readingsOf(replayWay(spread, wayOf(spread, ...conforming, 'high'))).map(Number.parseFloat);
    expect(Math.max(...typed) - Math.min(...typed)).toBeGreaterThan(0.6);
    expect(typed.every((one) => one >= 1 && one <= 2)).toBe(true);
  });

  test('a mean too high that each must push up', () => {
    const mean = plan({ mean: [{ 'every-bore': 'gap' }] }, { 'at-most': '1.9 mm' });
    const typed = readingsOf(replayWay(mean, wayOf(mean, ...conforming, 'high'))).map(Number.parseFloat);
    expect(typed.reduce((sum, one) => sum + one, 0)).toBeGreaterThan(5.7);
  });

  test('a mean that cannot be so high is proved impossible', () => {
    const mean = plan({ mean: [{ 'every-bore': 'gap' }] }, { 'at-most': '2.0 mm' });
    expect(replayWay(mean, wayOf(mean, ...conforming, 'high')).failed).toMatchObject({
      because: 'no-values',
      why: expect.stringContaining('together'),
    });
  });

  test('a share of another reading, which is no straight line', () => {
    const share = planOf(
      packOf({
        readings: { before: length(), after: length() },
        derived: { kept: { is: { share: { of: 'after', in: 'before' } } } },
        tolerances: {
          fit: limits('before'),
          enough: { of: 'kept', between: ['85 %', '86 %'], source: 's' },
        },
        steps: [
          judged('first', 'before', 'fit'),
          { step: 'second', read: 'after', judge: 'enough', ...remedy },
        ],
      }),
    );
    const [before = 0, after = 0] = readingsOf(
      replayWay(share, wayOf(share, 'conforming', 'conforming')),
    ).map(Number.parseFloat);
    expect(after / before).toBeGreaterThanOrEqual(0.85);
    expect(after / before).toBeLessThanOrEqual(0.86);
  });
});

describe('conditions', () => {
  const plan = planOf(
    packOf({
      readings: { gap: length(), play: length() },
      steps: [
        { step: 'read', read: ['gap', 'play'] },
        { step: 'a', do: 'x', 'only-if': { logic: { '>': [{ var: 'gap' }, '5 mm'] } } },
        { step: 'b', do: 'x', 'only-if': { logic: { '>': [{ var: 'gap' }, '2 mm'] } } },
        { step: 'c', do: 'x', 'only-if': { logic: { '<': [{ var: 'gap' }, { var: 'play' }] } } },
      ],
    }),
  );

  test('hold and do not hold as is wanted', () => {
    const [gap = 0, play = 0] = readingsOf(replayWay(plan, wayOf(plan, 'false', 'true', 'true'))).map(
      Number.parseFloat,
    );
    expect(gap).toBeLessThanOrEqual(5);
    expect(gap).toBeGreaterThan(2);
    expect(play).toBeGreaterThan(gap);
  });

  test('that contradict one another are proved impossible', () => {
    const { failed } = replayWay(plan, wayOf(plan, 'true', 'false', 'true'));
    expect(failed?.because).toBe('no-values');
  });
});

test('people, parts and pictures are supplied', () => {
  const plan = planOf(
    packOf(
      {
        steps: [
          {
            each: 'bore',
            of: ['1', '2', '3'],
            id: 'found',
            steps: [{ step: 'pump', identify: { part: 'pump', as: 'found' } }],
          },
          { step: 'lift', do: 'x', 'together-with': 'technician', witness: 'technician' },
          { step: 'picture', photograph: 'All of it.' },
          { step: 'soak', wait: '90 min' },
          {
            each: 'bore',
            of: ['1', '2', '3'],
            steps: [{ step: 'pump', identify: { part: 'pump', as: 'fitted' }, ...remedy }],
          },
        ],
      },
      { parts: { pump: { title: 'Pump', per: 'bore', identity: '"MU"-9' } } },
    ),
  );
  const replayed = replayWay(plan, wayOf(plan, 'other', 'other', 'other'));
  if (replayed.failed !== undefined) throw new Error(replayed.failed.why);
  expect(replayed.job.control.at).toBe(plan.nodes.length);
  const fitted = replayed.facts.flatMap(({ fact }) =>
    fact.kind === 'identified' && fact.part !== 'found'
      ? [`${fact.entry} ${fact.part} ${fact.identity}`]
      : [],
  );
  expect(new Set(fitted.map((one) => one.split(' ')[2])).size).toBe(3);
  expect(fitted.every((one) => one.includes(' other '))).toBe(true);
  const [lifted] = replayed.facts.filter(({ fact }) => fact.kind === 'done');
  const [witnessed] = replayed.facts.filter(({ fact }) => fact.kind === 'witnessed');
  const [together] = lifted?.fact.kind === 'done' ? [lifted.fact.together] : [];
  expect(new Set([lifted?.by, together, witnessed?.by]).size).toBe(3);
});

test('a way that no control takes is told by its place', () => {
  const plan = planOf(packOf({ steps: [{ step: 'a', do: 'x' }] }));
  expect(replayWay(plan, [{ signal: 'witnessed' }]).failed).toMatchObject({ after: 0, because: 'otherwise' });
});
