import { advance, type Plan, type Signal, startControl, type Trial, waysOn } from '@ferrule/engine';
import { describe, expect, test } from 'vitest';
import { length, packOf, planOf, validPack, type Written } from '../../engine/test/small-pack.ts';
import { coverageOf, draftTrials, replayWay, runTrials } from '../src/index.ts';

const hold = { hold: 'ask-the-lead' };
const document = (more: Written = {}, trials: Written = {}): Written =>
  packOf(
    {
      readings: { before: length(), after: length() },
      derived: {
        age: { is: { elapsed: { since: 'warm' } } },
        stood: { is: { elapsed: { since: 'shut', until: 'last' } } },
        rate: {
          is: { '/': [{ difference: ['before', 'after'] }, { elapsed: { since: 'shut', until: 'last' } }] },
        },
      },
      tolerances: {
        'age-limits': { of: 'age', 'at-most': '20 min', source: 's' },
        'stood-limits': { of: 'stood', between: ['10 min', '12 min'], source: 's' },
        'rate-limits': { of: 'rate', 'at-most': '0.01 mm/s', source: 's' },
      },
      steps: [
        { step: 'warm', do: 'x' },
        { step: 'rest', wait: '2 min' },
        {
          step: 'shut',
          do: 'x',
          read: 'before',
          judge: 'age-limits',
          'if-nonconforming': {
            rework: [{ step: 'cool', do: 'x' }],
            'resume-at': 'warm',
            attempts: '2',
            exhausted: 'worn-out',
          },
        },
        { step: 'last', read: 'after' },
        { step: 'stood', judge: 'stood-limits', 'if-nonconforming': hold },
        { step: 'rate', judge: 'rate-limits', 'if-nonconforming': hold },
      ],
      ...more,
    },
    { trials },
  );

/** The way on which the verdicts come out so, one after the other, to its end. */
function wayOf(plan: Plan, ...outcomes: readonly string[]): readonly Signal[] {
  const left = [...outcomes];
  const out: Signal[] = [];
  let control = startControl(plan);
  for (let ways = waysOn(plan, control); ways.length > 0 && left.length > 0; ways = waysOn(plan, control)) {
    const isJudged = ways[0]?.signal === 'judged';
    const wanted = isJudged ? left.shift() : undefined;
    const signal = isJudged ? ways.find((one) => one.signal === 'judged' && one.outcome === wanted) : ways[0];
    if (signal === undefined) throw new Error(`no way to ${wanted}`);
    out.push(signal);
    control = advance(plan, control, signal);
  }
  return out;
}

/** Every verdict of the job that goes a way, with its value. */
function verdictsOn(plan: Plan, ...outcomes: readonly string[]): readonly string[] {
  const replayed = replayWay(plan, wayOf(plan, ...outcomes));
  if (replayed.failed !== undefined) return [`${replayed.failed.because}: ${replayed.failed.why}`];
  return replayed.facts.flatMap(({ fact }) =>
    fact.kind === 'judged' ? `${fact.of} ${fact.verdict.verdict} ${fact.verdict.value}` : [],
  );
}

describe('a way on which time passes is driven through decide', () => {
  const plan = planOf(document());

  test.each([
    [['high'], ['age-limits nonconforming 20 min 1 s']],
    [
      ['high', 'conforming', 'low'],
      [
        'age-limits nonconforming 20 min 1 s',
        'age-limits conforming',
        'stood-limits nonconforming 9 min 59 s',
      ],
    ],
    [
      ['conforming', 'high'],
      ['age-limits conforming', 'stood-limits nonconforming 12 min 1 s'],
    ],
  ])('%j', (outcomes, wanted) => {
    const found = verdictsOn(plan, ...outcomes);
    expect(found.map((one, place) => one.slice(0, wanted[place]?.length))).toEqual(wanted);
  });

  test('a rate and the time in it are found together', () => {
    const found = verdictsOn(plan, 'conforming', 'conforming', 'high');
    expect(found).toHaveLength(3);
    expect(found[2]).toMatch(/^rate-limits nonconforming/);
  });

  test('what waits longer than a limit allows is proved impossible', () => {
    const slow = planOf(
      document({
        tolerances: {
          'age-limits': { of: 'age', 'at-most': '1 min', source: 's' },
          'stood-limits': { of: 'stood', between: ['10 min', '12 min'], source: 's' },
          'rate-limits': { of: 'rate', 'at-most': '0.01 mm/s', source: 's' },
        },
      }),
    );
    expect(verdictsOn(slow, 'conforming')[0]).toMatch(/^no-values/);
    expect(verdictsOn(slow, 'high')).toEqual(['age-limits nonconforming 2 min 3 s']);
  });
});

describe('a trial lets time pass', () => {
  const answers = {
    persons: { technician: 'technician A', lead: 'lead B', second: 'second C' },
    readings: { before: '5 mm', after: '4 mm' },
  };
  const run = (events: readonly Written[], verdicts: Written, outcome = 'closed'): readonly string[] => {
    const trial = {
      says: 's',
      procedure: 'main',
      variant: 'small',
      answers,
      events,
      expect: { outcome, verdicts },
    };
    const pack = validPack(document({}, { one: trial }));
    return runTrials(pack, 'sha256:0')[0]?.failures ?? ['none ran'];
  };

  test('by later alone, before the step', () => {
    expect(
      run([{ at: 'last', later: '11 min' }], { 'stood-limits': 'conforming', 'rate-limits': 'conforming' }),
    ).toEqual([]);
    // The act of the step before, its reading, and the reading of this one take a second each.
    expect(run([{ at: 'last', later: '598 s' }], { 'stood-limits': 'conforming' })).toEqual([]);
    expect(run([{ at: 'last', later: '597 s' }], { 'stood-limits': 'nonconforming' }, 'held')).toEqual([]);
  });

  test('and with something else, which then comes later', () => {
    expect(run([{ at: 'last', later: '11 min', note: 'Waited.' }], { 'stood-limits': 'conforming' })).toEqual(
      [],
    );
  });

  test('and what never comes about is said', () => {
    expect(run([{ at: 'nowhere', later: '11 min' }], {}, 'held')).toContain('There is no step nowhere.');
  });
});

test('trials are drafted for every outcome of a time, and come to what the plan says', () => {
  const pack = validPack(document());
  const coverage = coverageOf(pack, []);
  const { trials, failed } = draftTrials(pack, 'sha256:0', coverage, []);
  expect(failed).toEqual([]);
  const drafted = Object.values<Trial>(trials);
  expect(drafted.some((one) => one.events?.some((event) => event.later !== undefined))).toBe(true);
  const results = runTrials({ ...pack, trials }, 'sha256:0');
  expect(results.flatMap((one) => one.failures)).toEqual([]);
  const judged = new Set(
    results.flatMap((one) =>
      one.facts.flatMap(({ fact }) =>
        fact.kind === 'judged'
          ? `${fact.of} ${fact.verdict.verdict === 'nonconforming' ? fact.verdict.side : fact.verdict.verdict}`
          : [],
      ),
    ),
  );
  for (const one of ['age-limits high', 'stood-limits high', 'stood-limits low', 'rate-limits high'])
    expect(judged).toContain(one);
});
