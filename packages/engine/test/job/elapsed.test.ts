import { describe, expect, test } from 'vitest';
import { offers, Rational, secondsOf } from '../../src/index.ts';
import { replay } from '../../src/replay.ts';
import { length, packOf, planOf, type Written } from '../small-pack.ts';
import { Bench, lead } from './bench.ts';

const hold = { hold: 'ask-the-lead' };
const rework = (at: string, more: Written = {}): Written => ({
  rework: [{ step: 'undo', do: 'x' }],
  'resume-at': at,
  attempts: '3',
  exhausted: 'worn-out',
  ...more,
});
const judged = (step: string, by: string, more: Written = {}): Written => ({
  step,
  judge: by,
  'if-nonconforming': hold,
  ...more,
});
const readings = { gap: length(), play: length() };
const derived = {
  age: { is: { elapsed: { since: 'warm' } } },
  stood: { is: { elapsed: { since: 'shut', until: 'open' } } },
};
const tolerances = {
  'age-limits': { of: 'age', 'at-most': '20 min', source: 'invented' },
  'stood-limits': { of: 'stood', between: ['10 min', '12 min'], source: 'invented' },
};
const bench = (steps: readonly Written[], more: Written = {}, sections: Written = {}): Bench =>
  new Bench(packOf({ readings, derived, tolerances, steps, ...more }, sections));
const at = (time: string, day = '04') => ({ at: `2027-01-${day}T${time}Z` });
const verdictIn = (bodies: ReturnType<Bench['done']>) =>
  bodies.flatMap((one) => (one.kind === 'judged' ? [one.verdict] : []));

describe('the time since a step', () => {
  const steps = [
    { step: 'warm', do: 'x' },
    { step: 'look', read: 'gap' },
    judged('in-time', 'age-limits', { do: 'x' }),
  ];

  test('counts from the act to the command that is judged, exactly, and the limit itself conforms', () => {
    for (const [now, verdict, value] of [
      ['08:20:00', 'conforming', '20 min'],
      ['08:20:00.001', 'nonconforming', '20 min 0.001 s'],
      ['08:00:45.5', 'conforming', '45.5 s'],
      ['08:00:00', 'conforming', '0 s'],
    ] as const) {
      const job = bench(steps);
      job.done('warm', at('08:00:00'));
      job.record('gap', '1', at('08:00:00'));
      const found = verdictIn(job.done('in-time', at(now)));
      expect(found).toMatchObject([{ verdict, value, limits: 'at most 20 min' }]);
      job.replays();
    }
  });

  test('is written into the verdict, and facts with another time are no longer taken for the job', () => {
    const job = bench(steps);
    job.done('warm', at('23:59:30'));
    job.record('gap', '1', at('23:59:40'));
    const [verdict] = verdictIn(job.done('in-time', { at: '2027-01-05T02:03:00+02:00' }));
    // 2027-01-05T00:03:00Z: three and a half minutes.
    expect(verdict).toMatchObject({ value: '3 min 30 s', margin: '16 min 30 s', exact: '210' });
    expect(verdict?.elapsed).toEqual([{ since: 'warm', seconds: '210' }]);
    const moved = job.facts.map((one) =>
      one.fact.kind === 'done' && one.fact.step === 'warm' ? { ...one, at: '2027-01-04T23:59:31Z' } : one,
    );
    expect(replay(job.plan, moved).fault?.message).toContain('times of the facts');
  });

  test('of a step without an act counts from its last entry, and one that is struck and taken again counts anew', () => {
    const job = bench([
      { step: 'warm', read: ['gap', 'play'] },
      { step: 'next', do: 'x' },
      judged('in-time', 'age-limits', { do: 'x' }),
    ]);
    job.record('gap', '1', at('08:00:00'));
    job.record('play', '1', at('08:10:00'));
    job.done('next', at('08:11:00'));
    expect(verdictIn(job.done('in-time', at('08:20:00')))).toMatchObject([{ value: '10 min' }]);
    job.strike('gap');
    expect(job.at).toBe('warm');
    const again = verdictIn(job.record('gap', '2', at('09:00:00')));
    expect(again).toMatchObject([{ verdict: 'conforming', value: '0 s' }]);
    job.closes();
  });

  test('is forgotten with a struck act, and what was judged by it is judged again', () => {
    const job = bench(steps);
    job.done('warm', at('08:00:00'));
    job.record('gap', '1', at('08:01:00'));
    job.done('in-time', at('08:05:00'));
    job.strike('warm');
    expect(job.at).toBe('warm');
    const facts = job.done('warm', at('09:00:00'));
    expect(facts.map((one) => one.kind)).toEqual(['done', 'judged']);
    expect(verdictIn(facts)).toMatchObject([{ value: '0 s' }]);
    job.closes();
  });

  test('begins anew with a rework that does the step again', () => {
    const job = bench([
      { step: 'warm', do: 'x' },
      { step: 'measure', read: 'gap', judge: 'age-limits', 'if-nonconforming': rework('warm') },
    ]);
    job.done('warm', at('08:00:00'));
    expect(verdictIn(job.record('gap', '1', at('08:21:00')))).toMatchObject([
      { verdict: 'nonconforming', side: 'high', value: '21 min', excess: '1 min' },
    ]);
    job.done('measure/if-nonconforming/undo', at('08:22:00'));
    expect(job.at).toBe('warm');
    job.done('warm', at('08:40:00'));
    expect(verdictIn(job.record('gap', '1', at('08:45:00')))).toMatchObject([
      { verdict: 'conforming', value: '5 min' },
    ]);
    job.closes();
  });

  test('cannot be begun anew in passing once work has followed that a rework was not written for', () => {
    const states = { valve: { is: ['shut', 'open'], starts: 'shut', ends: ['shut', 'open'] } };
    const steps = [
      { step: 'warm', do: 'x' },
      { step: 'look', read: 'gap', judge: 'age-limits', 'if-nonconforming': rework('warm') },
      { step: 'open', do: 'x', changes: { valve: ['shut', 'open'] } },
      { step: 'last', do: 'x' },
    ];
    const job = bench(steps, {}, { states });
    job.done('warm', at('08:00:00'));
    job.record('gap', '1', at('08:01:00'));
    // Nothing has changed yet: the verdict is given anew.
    job.strike('warm');
    expect(job.at).toBe('warm');
    job.done('warm', at('08:02:00'));
    expect(job.verdicts).toEqual(['age-limits conforming', 'age-limits conforming']);
    job.done('open', at('08:03:00'));
    job.strikeAllTheSame('warm');
    // Where only a hold can follow, the states make no difference.
    const free = bench(
      [
        { step: 'warm', do: 'x' },
        { step: 'look', read: 'gap', judge: 'age-limits', 'if-nonconforming': hold },
        ...steps.slice(2),
      ],
      {},
      { states },
    );
    free.done('warm', at('08:00:00'));
    free.record('gap', '1', at('08:01:00'));
    free.done('open', at('08:03:00'));
    free.strike('warm');
    free.done('warm', at('09:00:00'));
    expect(free.verdicts).toHaveLength(2);
    expect(free.at).toBe('last');
  });

  test('goes on while the job is parked', () => {
    const known = bench(
      [{ step: 'mark', 'turn-to': { mark: 'tdc-firing', 'proved-by': 'x' } }, ...steps],
      { parking: { 'only-while': { crank: 'known' }, instructions: 'x', 'on-resuming': ['cold'] } },
      { conditions: { cold: { text: 'Cold.' } } },
    );
    known.done('mark', at('08:00:00'));
    known.done('warm', at('08:00:00'));
    known.does({ command: 'park', reason: 'x' }, at('08:01:00'));
    known.does({ command: 'resume', confirmed: ['cold'] }, at('08:30:00'));
    known.record('gap', '1', at('08:31:00'));
    expect(verdictIn(known.done('in-time', at('08:32:00')))).toMatchObject([
      { verdict: 'nonconforming', value: '32 min' },
    ]);
    known.replays();
  });

  test('inside a loop is that of the same pass', () => {
    const job = bench(
      [
        {
          each: 'bore',
          of: 'bores',
          steps: [{ step: 'warm', do: 'x' }, judged('in-time', 'age-limits', { do: 'x' })],
        },
      ],
      {
        derived: { age: { per: 'bore', is: { elapsed: { since: 'warm' } } } },
        tolerances: { 'age-limits': tolerances['age-limits'] },
        readings: {},
      },
    );
    for (const [bore, minute] of [
      [1, '00'],
      [2, '30'],
      [3, '45'],
    ] as const) {
      job.done(`bore=${bore}/warm`, at(`08:${minute}:00`));
      expect(verdictIn(job.done(`bore=${bore}/in-time`, at(`08:${minute}:30`)))).toMatchObject([
        { value: '30 s' },
      ]);
    }
    expect(job.verdicts).toEqual([1, 2, 3].map((bore) => `age-limits@${bore} conforming`));
    job.closes();
  });
});

describe('a time that ends with a step', () => {
  const steps = [
    { step: 'shut', do: 'x' },
    { step: 'open', do: 'x' },
    { step: 'between', do: 'x' },
    judged('stood', 'stood-limits', { do: 'x' }),
  ];

  test('is the same however late it is judged', () => {
    const job = bench(steps);
    job.done('shut', at('08:00:00'));
    job.done('open', at('08:11:00'));
    job.done('between', at('10:00:00'));
    expect(verdictIn(job.done('stood', at('12:00:00')))).toMatchObject([
      { verdict: 'conforming', value: '11 min', elapsed: [{ since: 'shut', until: 'open', seconds: '660' }] },
    ]);
    job.closes();
  });

  test('counts to the step as it was done again', () => {
    const job = bench(steps);
    job.done('shut', at('08:00:00'));
    job.done('open', at('08:11:00'));
    job.done('between', at('08:12:00'));
    job.strike('open');
    job.done('open', at('08:13:00'));
    expect(job.at).toBe('stood');
    expect(verdictIn(job.done('stood', at('08:14:00')))).toMatchObject([
      { verdict: 'nonconforming', side: 'high' },
    ]);
  });

  test('keeps its first step from being struck alone: it would be done after the last', () => {
    const job = bench(steps);
    job.done('shut', at('08:00:00'));
    job.done('open', at('08:11:00'));
    job.strikeAllTheSame('shut');
    const other = bench(steps);
    other.done('shut', at('08:00:00'));
    other.done('open', at('08:11:00'));
    other.strike('open');
    other.strike('shut');
    other.done('shut', at('09:00:00'));
    other.done('open', at('09:10:00'));
    other.done('between', at('09:11:00'));
    expect(verdictIn(other.done('stood', at('09:12:00')))).toMatchObject([{ value: '10 min' }]);
  });

  test('enters a rate, exactly', () => {
    const rate = {
      derived: {
        rate: {
          is: { '/': [{ difference: ['gap', 'play'] }, { elapsed: { since: 'first', until: 'last' } }] },
        },
      },
      tolerances: { 'rate-limits': { of: 'rate', 'at-most': '0.01 mm/s', source: 'invented' } },
    };
    const job = bench(
      [{ step: 'first', read: 'gap' }, { step: 'last', read: 'play' }, judged('rate', 'rate-limits')],
      rate,
    );
    job.record('gap', '9', at('08:00:00'));
    const facts = job.record('play', '2', at('08:11:40'));
    // 7 mm in 700 s, on the limit.
    expect(verdictIn(facts)).toMatchObject([{ verdict: 'conforming', exact: '1/100', value: '0.01 mm/s' }]);
    job.closes();
  });
});

describe('a clock that was set back', () => {
  test('is refused where the time would be judged, and goes on once it is right', () => {
    const job = bench([
      { step: 'warm', do: 'x' },
      { step: 'look', read: 'gap' },
      judged('in-time', 'age-limits', { do: 'x' }),
    ]);
    job.done('warm', at('08:00:00'));
    job.record('gap', '1', at('07:30:00'));
    job.refuses({ command: 'done', step: 'in-time' }, 'bad-time', at('07:59:59.999'));
    expect(verdictIn(job.done('in-time', at('08:00:00')))).toMatchObject([{ value: '0 s' }]);
    job.closes();
  });

  test('is refused as soon as the step is done with which the time ends', () => {
    const job = bench([
      { step: 'shut', do: 'x' },
      { step: 'open', do: 'x' },
      judged('stood', 'stood-limits', { do: 'x' }),
    ]);
    job.done('shut', at('08:00:00'));
    job.refuses({ command: 'done', step: 'open' }, 'bad-time', at('07:00:00'));
    job.done('open', at('08:10:00'));
  });

  test('says what was done when, and how to go on', () => {
    const job = bench([{ step: 'warm', do: 'x' }, judged('in-time', 'age-limits', { do: 'x' })]);
    job.done('warm', at('08:00:00'));
    expect(() => job.done('in-time', at('07:00:00'))).toThrow(
      /warm was done at 2027-01-04T08:00:00Z.*Set the clock right/,
    );
  });
});

describe('the moments of RFC 3339', () => {
  test.each([
    ['1970-01-01T00:00:00Z', '0'],
    ['2027-01-04t08:00:00.000000001z', '1799049600000000001/1000000000'],
    ['2027-01-04 10:00:00+02:00', '1799049600'],
    // RFC 3339, 5.8: the same moment as 1990-12-31T23:59:60Z, the leap second at the end of 1990.
    ['1990-12-31T15:59:60-08:00', '662688000'],
    ['1990-12-31T23:59:60Z', '662688000'],
  ])('%s', (text, seconds) => {
    const wanted = Rational.parse(seconds);
    expect(wanted && secondsOf(text)?.equals(wanted)).toBe(true);
  });

  test.each(['2027-02-30T00:00:00Z', '2027-01-04T08:00:00', 'now', ''])('%s is none', (text) => {
    expect(secondsOf(text)).toBeUndefined();
  });
});

describe('an offer', () => {
  test('blocks nothing and nobody while time runs', () => {
    const job = bench([{ step: 'warm', do: 'x' }, judged('in-time', 'age-limits', { do: 'x' })]);
    job.done('warm', at('08:00:00'));
    expect(offers(job.plan, job.job).blocked).toEqual([]);
    job.done('in-time', at('09:00:00'));
    expect(job.hold).toBe('ask-the-lead');
    job.release('concession', { by: lead });
  });
});

test('a plan lists each time once, with the steps that judge it', () => {
  const plan = planOf(
    packOf({
      derived: { ...derived, double: { is: { '*': [2, { elapsed: { since: 'warm' } }] } } },
      tolerances: {
        'age-limits': tolerances['age-limits'],
        more: { of: 'double', 'at-most': '1 h', source: 's' },
      },
      steps: [
        { step: 'warm', do: 'x' },
        judged('one', 'age-limits'),
        judged('two', 'more'),
        judged('three', 'age-limits'),
      ],
    }),
  );
  expect(plan.elapsed).toHaveLength(1);
  const [time] = plan.elapsed;
  expect(plan.nodes[time?.since ?? -1]?.id).toBe('warm');
  expect(time?.judgedBy.map((one) => plan.nodes[one]?.id)).toEqual(['one', 'two', 'three']);
});
