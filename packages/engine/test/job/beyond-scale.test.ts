import { describe, expect, test } from 'vitest';
import {
  type Fact,
  type FactBody,
  type InstrumentUsed,
  judgeBound,
  limitsOf,
  parseQuantity,
  type Quantity,
  Rational,
  type RefusalCode,
  recordedValue,
} from '../../src/index.ts';
import { replay } from '../../src/replay.ts';
import { holds, packOf, type Written } from '../small-pack.ts';
import { Bench, lead } from './bench.ts';

const gauge = { title: 'Gauge', quantity: 'pressure', range: ['0 bar', '400 bar'], resolution: '1 bar' };
const dial = { title: 'Dial', quantity: 'length', range: ['-1 mm', '1 mm'], resolution: '0.01 mm' };
const used: readonly InstrumentUsed[] = [{ kind: 'gauge', identity: 'PG-1' }];
const peak: Written = {
  measurand: 'Opening pressure',
  quantity: 'pressure',
  unit: 'bar',
  instrument: 'gauge',
  plausible: ['0 bar', '600 bar'],
};
const hold = { hold: 'ask-the-lead' };
const unsure = { 'if-inconclusive': hold };
const bench = (
  tolerance: Written,
  { step = {}, reading = {}, more = {}, steps = [] as readonly unknown[] } = {},
): Bench =>
  new Bench(
    packOf(
      {
        readings: { peak: { ...peak, ...reading }, rest: peak },
        tolerances: { fit: { of: 'peak', source: 's', ...tolerance } },
        steps: [
          { step: 'measure', read: 'peak', judge: 'fit', 'if-nonconforming': hold, ...step },
          ...steps,
          { step: 'last', do: 'x' },
        ],
        ...more,
      },
      { instruments: { gauge, dial }, holds },
    ),
    { instruments: used },
  );
const say = (value: string) => ({ command: 'record', entry: 'peak', value }) as const;
const verdictOf = (facts: readonly FactBody[]) => {
  const judged = facts.find((one) => one.kind === 'judged');
  return judged?.kind === 'judged' ? judged.verdict : undefined;
};

// By hand, from what each limit says of every pressure above 400 bar, or below 0 bar.
describe('a verdict that is certain', () => {
  test.each([
    ['> 400 bar', { 'at-most': '400 bar' }, { verdict: 'nonconforming', side: 'high', excess: '0 bar' }],
    ['> 400 bar', { 'at-most': '380 bar' }, { verdict: 'nonconforming', side: 'high', excess: '20 bar' }],
    ['> 400 bar', { between: ['250 bar', '300 bar'] }, { verdict: 'nonconforming', side: 'high' }],
    ['> 400 bar', { 'at-least': '400 bar' }, { verdict: 'conforming', margin: '0 bar' }],
    ['> 400 bar', { 'at-least': '350 bar' }, { verdict: 'conforming', margin: '50 bar' }],
    ['>400', { nominal: '390 bar', deviation: '5 bar' }, { verdict: 'nonconforming', side: 'high' }],
    ['> 40 MPa', { 'at-least': '350 bar' }, { verdict: 'conforming', value: '> 400 bar' }],
  ])('%s against %j', (typed, tolerance, verdict) => {
    const job = bench(tolerance);
    const facts = job.does(say(typed));
    expect(facts[0]).toMatchObject({ kind: 'reading', typed, beyond: 'above' });
    expect(verdictOf(facts)).toMatchObject({ beyond: 'above', ...verdict });
    job.replays();
  });

  test('below the scale', () => {
    const length = { quantity: 'length', unit: 'mm', instrument: 'dial', plausible: ['-2 mm', '2 mm'] };
    const low = bench({ 'at-least': '-1 mm' }, { reading: length });
    expect(verdictOf(low.does(say('< -1 mm')))).toMatchObject({ verdict: 'nonconforming', side: 'low' });
    const high = bench({ 'at-most': '-0.9 mm' }, { reading: length });
    expect(verdictOf(high.does(say('< -1')))).toMatchObject({
      verdict: 'conforming',
      value: '< -1.0 mm',
      margin: '0.1 mm',
    });
    const both = bench({ between: ['-1.1 mm', '1 mm'] }, { reading: length });
    both.refuses(say('< -1'), 'beyond-scale');
    expect(verdictOf(both.does(say('> 1')))).toMatchObject({ verdict: 'nonconforming', side: 'high' });
  });
});

describe('a verdict that is not certain', () => {
  const undecided: readonly Written[] = [
    { between: ['350 bar', '450 bar'] },
    { 'at-most': '401 bar' },
    { 'at-least': '401 bar' },
    { nominal: '400 bar', deviation: '1 bar' },
  ];
  test.each(undecided)('is refused where nothing says what follows: %j', (tolerance) => {
    bench(tolerance).refuses(say('> 400 bar'), 'beyond-scale');
  });

  test.each(undecided)('is inconclusive where that is said: %j', (tolerance) => {
    const job = bench(tolerance, { step: unsure });
    const facts = job.does(say('> 400 bar'));
    expect(verdictOf(facts)).toMatchObject({
      verdict: 'inconclusive',
      because: 'beyond-scale',
      value: '> 400 bar',
    });
    expect(job.hold).toBe('ask-the-lead');
    job.release('concession', { by: lead });
    job.done('last');
    job.closes();
  });

  test('with a guard band it is never certain', () => {
    const guarded = { 'at-least': '350 bar', rule: 'guarded-acceptance' };
    const job = bench(guarded, { step: unsure });
    expect(verdictOf(job.does(say('> 400 bar')))).toMatchObject({ because: 'beyond-scale' });
  });
});

describe('what is worked out from it', () => {
  const derived = {
    derived: { drop: { is: { difference: ['peak', 'rest'] } } },
    tolerances: { fit: { of: 'drop', 'at-most': '500 bar', source: 's' } },
  };
  const steps = (step: Written) => [
    { step: 'measure', read: ['peak', 'rest'], judge: 'fit', 'if-nonconforming': hold, ...step },
  ];

  test('has no value: it is refused, or inconclusive', () => {
    bench({}, { more: { ...derived, steps: steps({}) } }).refuses(say('> 400'), 'beyond-scale');
    const job = bench({}, { more: { ...derived, steps: steps(unsure) } });
    job.does(say('> 400'));
    const verdict = verdictOf(job.record('rest', '100'));
    expect(verdict).toMatchObject({ verdict: 'inconclusive', because: 'beyond-scale' });
    expect(verdict?.value).toBeUndefined();
    job.release('concession', { by: lead });
    job.closes();
  });

  test('what is still missing is waited for', () => {
    const job = bench(
      {},
      {
        more: {
          ...derived,
          steps: [
            { step: 'first', read: 'peak' },
            { ...steps(unsure)[0], read: 'rest' },
          ],
        },
      },
    );
    expect(job.does(say('> 400')).map((one) => one.kind)).toEqual(['reading']);
    expect(verdictOf(job.record('rest', '100'))).toMatchObject({ because: 'beyond-scale' });
  });

  test('a limit that depends on it is not waited for', () => {
    const more = {
      tolerances: { fit: { of: 'rest', 'at-most': { '*': [{ var: 'peak' }, '0.5'] }, source: 's' } },
    };
    bench({}, { more: { ...more, steps: steps({}) } }).refuses(say('> 400'), 'beyond-scale');
    const job = bench({}, { more: { ...more, steps: steps(unsure) } });
    job.does(say('> 400'));
    expect(verdictOf(job.record('rest', '100'))).toMatchObject({ because: 'beyond-scale' });
    job.replays();
  });

  test('what decides what comes next has to be a value', () => {
    const choice = { step: 'more', do: 'x', 'only-if': { logic: { '>': [{ var: 'peak' }, '300 bar'] } } };
    bench({ 'at-most': '350 bar' }, { steps: [choice] }).refuses(say('> 400'), 'beyond-scale');
  });
});

describe('what is no end of a scale', () => {
  test.each<readonly [string, RefusalCode]>([
    ['> 399 bar', 'beyond-scale'],
    ['> 400.5 bar', 'beyond-scale'],
    ['> 500', 'beyond-scale'],
    ['> -0 bar', 'beyond-scale'],
    ['< 400 bar', 'beyond-scale'],
    ['< 0.5', 'beyond-scale'],
    ['< 0 bar', 'implausible'],
    ['>', 'empty'],
    ['> ', 'empty'],
    ['>\u00a0', 'empty'],
    ['>>4', 'not-a-number'],
    ['>> 400', 'not-a-number'],
    ['> > 400', 'not-a-number'],
    ['><400', 'not-a-number'],
    ['>4e9', 'not-a-number'],
    ['> 1e400', 'not-a-number'],
    ['> NaN', 'not-a-number'],
    ['> -', 'not-a-number'],
    ['≥ 400 bar', 'not-a-number'],
    ['≤ 0', 'not-a-number'],
    ['>= 400', 'not-a-number'],
    ['=> 400', 'not-a-number'],
    ['400 bar >', 'wrong-unit'],
    ['> 400 mm', 'wrong-quantity'],
    ['> 400 quux', 'wrong-unit'],
    ['> 1,234', 'doubtful-number'],
    [`> ${'4'.repeat(80)}`, 'too-long'],
    ['\u200b> 400', 'not-a-number'],
  ])('%j is refused as %s', (typed, code) => {
    bench({ 'at-most': '380 bar' }).refuses(say(typed), code);
  });

  test('the full-width sign is a sign', () => {
    expect(bench({ 'at-most': '380 bar' }).does(say(' ＞ 400'))[0]).toMatchObject({ beyond: 'above' });
  });

  test('the own range of the instrument is its scale', () => {
    const job = bench({ 'at-most': '380 bar' });
    job.does({
      command: 'equip',
      instrument: { kind: 'gauge', identity: 'PG-2', range: ['0 bar', '390 bar'] },
    });
    job.refuses(say('> 400'), 'beyond-scale');
    expect(job.does(say('> 390'))[0]).toMatchObject({ digits: '390', instrument: { identity: 'PG-2' } });
  });

  test('there is none without an instrument, nor where nothing beyond it is plausible', () => {
    bench({ 'at-most': '380 bar' }, { reading: { instrument: undefined } }).refuses(
      say('> 400'),
      'beyond-scale',
    );
    const narrow = { plausible: ['0 bar', '400 bar'] };
    bench({ 'at-most': '380 bar' }, { reading: narrow }).refuses(say('> 400'), 'implausible');
  });
});

test('the reading has no value, and keeps what was said', () => {
  const job = bench({ 'at-most': '380 bar' });
  job.does(say('> 400 bar'));
  const taken = job.job.taken[0];
  expect(recordedValue(taken)).toBeUndefined();
  expect(taken).toMatchObject({ text: '> 400 bar', beyond: 'above' });
  job.strike('peak');
  job.does(say('370'));
  job.done('last');
  job.closes();
});

test('among repeats it completes the reading at once', () => {
  const job = bench({ 'at-most': '380 bar' }, { reading: { repeats: { times: '3' } } });
  job.record('peak', '390');
  const facts = job.does(say('> 400'));
  expect(facts[0]).toMatchObject({ repeat: 2, beyond: 'above' });
  expect(facts[0]).not.toHaveProperty('open');
  expect(verdictOf(facts)).toMatchObject({ side: 'high', value: '> 400 bar' });
  job.replays();
});

describe('a stored fact', () => {
  const faultOf = (tolerance: Written, more: object): string | undefined => {
    const job = bench({ 'at-most': '380 bar' });
    job.does(say('> 400'));
    const facts = (JSON.parse(JSON.stringify(job.facts)) as Fact[]).slice(0, 2);
    const changed = facts.map((one) => (one.seq === 2 ? { ...one, fact: { ...one.fact, ...more } } : one));
    return replay(bench(tolerance).plan, changed as Fact[]).fault?.message;
  };
  test('reads as it was said', () => {
    expect(faultOf({ 'at-most': '380 bar' }, {})).toBeUndefined();
  });
  test.each([
    ['with what is not plausible', { 'at-most': '380 bar' }, { digits: '700' }],
    ['on no side', { 'at-most': '380 bar' }, { beyond: 'beside' }],
    ['that stays open', { 'at-most': '380 bar' }, { open: true }],
    ['that leaves a verdict undecided', { 'at-most': '450 bar' }, {}],
  ])('does not %s', (_, tolerance, more) => {
    expect(faultOf(tolerance, more)).toBeDefined();
  });
});

// The verdict on a bound against the verdicts on values beyond it, drawn at random.
test('a bound decides only what every value beyond it decides', () => {
  let seed = 11;
  const below = (most: number): number => {
    seed = (seed * 48271) % 2147483647;
    return seed % most;
  };
  const bar = (value: number): Quantity => {
    const read = parseQuantity(`${value} bar`);
    if (!('quantity' in read)) throw new Error('no quantity');
    return read.quantity;
  };
  const found = new Map<string, number>();
  for (let run = 0; run < 2000; run++) {
    const [low, high] = [below(20), below(20)].sort((a, b) => a - b).map(bar) as [Quantity, Quantity];
    const form = below(3);
    const limits = limitsOf(
      form === 0
        ? { form: 'at-least', low }
        : form === 1
          ? { form: 'at-most', high }
          : { form: 'between', low, high },
    );
    if ('fault' in limits) throw new Error('no limits');
    const amount = bar(below(22));
    const beyond = below(2) === 0 ? 'above' : 'below';
    const way = Rational.of(beyond === 'above' ? 1 : -1);
    // All that can come out beyond the bound: just beyond it, and in and beyond each stretch between whole numbers.
    const values = [
      Rational.of(1, 1000),
      ...Array.from({ length: 50 }, (_, half) => Rational.of(half + 1, 2)),
    ].map((one) => amount.value.plus(one.times(way)));
    const outcomes = new Set(
      values.map((value) =>
        limits.high !== undefined && value.compare(limits.high.value) > 0
          ? 'high'
          : limits.low !== undefined && value.compare(limits.low.value) < 0
            ? 'low'
            : 'conforming',
      ),
    );
    const verdict = judgeBound(limits, { beyond, amount });
    const word = verdict.verdict === 'nonconforming' ? verdict.side : verdict.verdict;
    expect(word).toBe(outcomes.size === 1 ? [...outcomes][0] : 'inconclusive');
    found.set(word, (found.get(word) ?? 0) + 1);
  }
  expect([...found.keys()].sort()).toEqual(['conforming', 'high', 'inconclusive', 'low']);
});
