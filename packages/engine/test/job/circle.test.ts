import { describe, expect, test } from 'vitest';
import { type FactBody, recordedValue } from '../../src/index.ts';
import { packOf, type Written } from '../small-pack.ts';
import { Bench, lead } from './bench.ts';

const disc = { title: 'Degree disc', quantity: 'angle', range: ['-10°', '730°'], resolution: '0.5°' };
const begin: Written = {
  measurand: 'Begin',
  quantity: 'angle',
  unit: '°',
  plausible: ['340°', '380°'],
  circle: '360°',
};
const bench = (tolerance: Written, reading: Written = {}): Bench =>
  new Bench(
    packOf(
      {
        readings: { begin: { ...begin, ...reading } },
        tolerances: { fit: { of: 'begin', source: 's', ...tolerance } },
        steps: [
          { step: 'measure', read: 'begin', judge: 'fit', 'if-nonconforming': { hold: 'ask-the-lead' } },
        ],
      },
      { instruments: { disc } },
    ),
  );
const verdictOf = (facts: readonly FactBody[]) => {
  const judged = facts.find((one) => one.kind === 'judged');
  return judged?.kind === 'judged' ? judged.verdict : undefined;
};
const recorded = (job: Bench): string | undefined => {
  const value = recordedValue(job.job.taken[0]);
  return typeof value === 'object' ? value.value.toFraction() : undefined;
};

// By hand: each value after the number of turns that brings it nearest to the middle of the limits.
describe('a tolerance', () => {
  test.each([
    [{ nominal: '0°', deviation: '1°' }, '359.5°', { verdict: 'conforming', margin: '0.5°', value: '-0.5°' }],
    [{ nominal: '0°', deviation: '1°' }, '359°', { verdict: 'conforming', margin: '0°' }],
    [{ nominal: '0°', deviation: '1°' }, '358.9', { verdict: 'nonconforming', side: 'low', excess: '0.1°' }],
    [{ nominal: '0°', deviation: '1°' }, '1.5', { verdict: 'nonconforming', side: 'high', excess: '0.5°' }],
    [{ nominal: '360°', deviation: '1°' }, '0.5', { verdict: 'conforming', value: '360.5°' }],
    [{ nominal: '360°', deviation: '1°' }, '360.5', { verdict: 'conforming', value: '360.5°' }],
    [{ nominal: '720°', deviation: '1°' }, '0.5', { verdict: 'conforming', value: '720.5°' }],
    [{ between: ['350°', '355°'] }, '5', { verdict: 'nonconforming', side: 'high', excess: '10°' }],
    [{ between: ['-10°', '-5°'] }, '352', { verdict: 'conforming', value: '-8°' }],
    [{ 'at-most': '10°' }, '350', { verdict: 'conforming', margin: '20°' }],
    [{ 'at-least': '350°' }, '5', { verdict: 'conforming', margin: '15°' }],
  ])('%j takes %s', (tolerance, typed, verdict) => {
    const job = bench(tolerance, { plausible: ['0°', '360°'] });
    expect(verdictOf(job.record('begin', typed))).toMatchObject(verdict);
    job.replays();
  });

  test('over the two turns of a working cycle', () => {
    const cycle = { circle: '720°', plausible: ['-30°', '30°'] };
    expect(
      verdictOf(bench({ nominal: '0°', deviation: '1°' }, cycle).record('begin', '719.5')),
    ).toMatchObject({
      verdict: 'conforming',
    });
    bench({ nominal: '0°', deviation: '1°' }, cycle).refuses(
      { command: 'record', entry: 'begin', value: '359.5' },
      'implausible',
    );
  });
});

test.each([
  ['361°', '361', '1'],
  ['-0.50', '-0.50', '719/2'],
  ['360', '360', '0'],
  ['1 turn', '1', '0'],
])('%s is kept as typed, and lies from zero up to a whole turn', (typed, digits, value) => {
  const job = bench({ nominal: '0°', deviation: '1°' });
  expect(job.record('begin', typed)[0]).toMatchObject({ typed, digits });
  expect(recorded(job)).toBe(value);
  job.closes();
});

describe('what is plausible', () => {
  test.each(['340', '0', '20', '380', '-20', '700'])('%s is, whatever the turn', (value) => {
    bench({ nominal: '0°', deviation: '30°' }).record('begin', value);
  });
  test.each(['339.9', '20.1', '180', '-20.1', '380.5'])('%s is not', (value) => {
    bench({ nominal: '0°', deviation: '30°' }).refuses(
      { command: 'record', entry: 'begin', value },
      'implausible',
    );
  });
  test('the instrument has to show it as it was typed', () => {
    const job = bench({ nominal: '0°', deviation: '30°' }, { instrument: 'disc' });
    job.refuses({ command: 'record', entry: 'begin', value: '-11' }, 'beyond-instrument');
    job.record('begin', '349');
  });
});

describe('repeats', () => {
  const twice = { repeats: { times: '2', 'agree-within': '2°' } };
  const tolerance = { nominal: '0°', deviation: '1°' };

  test('have their mean on the circle', () => {
    const job = bench(tolerance, twice);
    job.record('begin', '359.5');
    const facts = job.record('begin', '0.5');
    expect(facts[0]).not.toHaveProperty('open');
    expect(recorded(job)).toBe('0');
    expect(verdictOf(facts)).toMatchObject({ verdict: 'conforming', value: '0°', margin: '1°' });
    job.closes();
  });

  test.each([
    ['mean', '359'],
    ['lowest', '358'],
    ['highest', '0'],
  ])('the %s is that of values side by side', (take, value) => {
    const job = bench({ nominal: '0°', deviation: '9°' }, { repeats: { times: '3', take } });
    for (const typed of ['360', '358', '359']) job.record('begin', typed);
    expect(recorded(job)).toBe(value);
    expect(job.job.taken[0]).toMatchObject({
      repeats: [{ digits: '360' }, { digits: '358' }, { digits: '359' }],
    });
    job.replays();
  });

  test('half a circle apart they have no mean', () => {
    const job = bench(tolerance, { plausible: ['0°', '360°'], repeats: { times: '3' } });
    job.record('begin', '10');
    job.record('begin', '100');
    job.refuses({ command: 'record', entry: 'begin', value: '190' }, 'implausible');
    job.refuses({ command: 'record', entry: 'begin', value: '200' }, 'implausible');
    job.record('begin', '189');
    expect(recorded(job)).toBe('299/3');
    job.release('concession', { by: lead });
    job.closes();
  });
});

test('one that was refused for a slip of a turn of 720° is no bound', () => {
  bench({ nominal: '0°', deviation: '1°' }, { instrument: 'disc' }).refuses(
    { command: 'record', entry: 'begin', value: '> 730°' },
    'implausible',
  );
});
