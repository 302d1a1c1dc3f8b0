import { describe, expect, test } from 'vitest';
import { advance, offers, waysOn } from '../../src/index.ts';
import { length, packOf, type Written } from '../small-pack.ts';
import { Bench, lead } from './bench.ts';

const step = (id: string, more: Written = {}): Written => ({ step: id, do: 'x', ...more });
const look = { look: { text: 't', answers: { good: 'G', bad: 'B', odd: 'O' } } };
const cover = { cover: { is: ['on', 'off'], starts: 'on', ends: ['on', 'off'] } };
const choice = (cases: readonly (readonly [unknown, string])[], otherwise?: string): Written => ({
  choose: 'which',
  cases: cases.map(([when, id]) => ({ when, steps: [step(id)] })),
  ...(otherwise === undefined ? {} : { otherwise: [step(otherwise)] }),
});
const job = (steps: readonly unknown[]): Bench =>
  new Bench(
    packOf({ readings: { gap: length(), play: length() }, observations: look, steps }, { states: cover }),
  );
const stuck = (bench: Bench): readonly string[] => {
  const { offers: can, blocked } = offers(bench.plan, bench.job);
  expect(can).toEqual([]);
  return blocked.map((one) => one.message);
};
const gap = (operator: string, value: string) => ({ logic: { [operator]: [{ var: 'gap' }, value] } });

describe('choose', () => {
  const byState = choice([
    [{ state: { cover: 'on' } }, 'covered'],
    [{ state: { cover: 'off' } }, 'open'],
  ]);

  test.each([
    [[byState], 'which/case-1/covered'],
    [[step('off', { changes: { cover: ['on', 'off'] } }), byState], 'which/case-2/open'],
  ] as const)('by a state', (steps, expected) => {
    const bench = job(steps);
    if (bench.at === 'off') bench.done('off');
    expect(bench.at).toBe(expected);
    bench.done(expected);
    bench.closes();
  });

  const observed = choice(
    [
      [{ observed: { look: 'good' } }, 'fine'],
      [{ observed: { look: ['bad'] } }, 'poor'],
    ],
    'neither',
  );
  test.each([
    ['good', 'which/case-1/fine'],
    ['bad', 'which/case-2/poor'],
    ['odd', 'which/otherwise/neither'],
  ])('by what was observed: %s', (answer, expected) => {
    const bench = job([{ step: 'see', observe: 'look' }, observed]);
    bench.record('look', answer);
    expect(bench.at).toBe(expected);
    bench.done(expected);
    bench.closes();
  });

  const measured = choice(
    [
      [gap('<', '2 mm'), 'small'],
      [gap('>', '4 mm'), 'large'],
    ],
    'middle',
  );
  test.each([
    ['1.999', 'which/case-1/small'],
    ['2', 'which/otherwise/middle'],
    ['4', 'which/otherwise/middle'],
    ['4.001', 'which/case-2/large'],
  ])('by a reading: %s mm', (value, expected) => {
    const bench = job([{ step: 'read', read: 'gap' }, measured]);
    const facts = bench.record('gap', value);
    expect(facts.map((one) => one.kind)).toEqual(['reading', 'branched']);
    expect(facts[1]).toMatchObject({
      step: 'which',
      decided: [{ truth: expected.includes('1') }, { truth: expected.includes('2') }],
    });
    expect(bench.at).toBe(expected);
    bench.done(expected);
    bench.closes();
  });

  test.each<readonly [string, Written]>([
    [
      'two true cases of states',
      choice([
        [{ state: { cover: 'on' } }, 'one'],
        [{ state: { cover: ['on', 'off'] } }, 'two'],
      ]),
    ],
    ['no true case of states', choice([[{ state: { cover: 'off' } }, 'one']])],
  ])('%s block', (_, node) => {
    expect(stuck(job([node]))).toHaveLength(1);
  });

  test.each<readonly [string, string, Written]>([
    [
      'two true cases of readings',
      '5',
      choice([
        [gap('>', '1 mm'), 'one'],
        [gap('>', '2 mm'), 'two'],
      ]),
    ],
    [
      'no true case of readings',
      '0.5',
      choice([
        [gap('>', '1 mm'), 'one'],
        [gap('>', '2 mm'), 'two'],
      ]),
    ],
  ])('%s block, until the reading is struck', (_, value, node) => {
    const bench = job([{ step: 'read', read: 'gap' }, node]);
    bench.record('gap', value);
    expect(bench.at).toBe('which');
    expect(stuck(bench)).toHaveLength(1);
    bench.refuses({ command: 'close' }, 'not-offered');
    bench.strike('gap');
    bench.record('gap', '1.5');
    expect(bench.at).toBe('which/case-1/one');
  });

  const omittable = { 'not-applicable': 'lead' };
  test.each<readonly [string, readonly unknown[], string]>([
    ['an observation', [{ step: 'see', observe: 'look', ...omittable }, observed], 'look'],
    [
      'an observation that passes a step over',
      [
        { step: 'see', observe: 'look', ...omittable },
        step('x', { 'only-if': { observed: { look: 'good' } } }),
      ],
      'look',
    ],
    ['a reading', [{ step: 'see', read: 'gap', ...omittable }, measured], 'gap'],
    [
      'a reading that passes a step over',
      [{ step: 'see', read: 'gap', ...omittable }, step('x', { 'only-if': gap('>', '1 mm') })],
      'gap',
    ],
  ])('%s that is missing blocks and does not fall through', (_, steps, name) => {
    const bench = job(steps);
    bench.does({ command: 'omit', step: 'see', reason: 'x' }, { by: lead });
    expect(bench.at).not.toBe('end');
    expect(stuck(bench).join(' ')).toContain(name);
    bench.refuses({ command: 'close' }, 'not-offered');
  });
});

describe('only-if', () => {
  test('decided by states, answers and readings when it is reached', () => {
    const bench = job([
      { step: 'see', observe: 'look' },
      { step: 'read', read: 'gap' },
      step('a', { 'only-if': { observed: { look: 'good' } } }),
      step('b', { 'only-if': { observed: { look: 'bad' } } }),
      step('c', { 'only-if': gap('>', '1 mm') }),
      step('d', { 'only-if': gap('<=', '1 mm') }),
      step('e', { 'only-if': { state: { cover: 'off' } } }),
      { block: 'f', 'only-if': { state: { cover: 'on' } }, steps: [step('g')] },
    ]);
    bench.record('look', 'good');
    bench.record('gap', '5');
    for (const path of ['a', 'c', 'f/g']) {
      expect(bench.at).toBe(path);
      bench.done(path);
    }
    bench.closes();
  });

  test('a choice that is passed over does not ask for what its cases read', () => {
    const which = choice([[{ logic: { '>': [{ var: 'play' }, '1 mm'] } }, 'one']], 'two');
    const inner = { block: 'in', 'only-if': gap('>', '5 mm'), steps: [which] };
    const steps = [
      { step: 'read', read: 'gap' },
      { step: 'more', read: 'play', 'not-applicable': 'lead' },
      inner,
    ];
    const over = job(steps);
    over.record('gap', '1');
    over.does({ command: 'omit', step: 'more', reason: 'x' }, { by: lead });
    expect(over.at).toBe('end');
    over.closes();
    const into = job(steps);
    into.record('gap', '6');
    into.record('play', '2');
    expect(into.at).toBe('in/which/case-1/one');
    into.done('in/which/case-1/one');
    into.closes();
  });

  test('an answer that is struck decides anew', () => {
    const bench = job([
      { step: 'see', observe: 'look' },
      step('a', { 'only-if': { observed: { look: 'good' } } }),
      step('b'),
    ]);
    bench.record('look', 'bad');
    expect(bench.at).toBe('b');
    bench.strike('look');
    bench.record('look', 'good');
    expect(bench.at).toBe('a');
    bench.done('a');
    bench.done('b');
    bench.closes();
  });

  test('an answer that is struck inside what it decided decides anew', () => {
    const inside = { block: 'in', 'only-if': { observed: { look: 'good' } }, steps: [step('a'), step('b')] };
    const bench = job([{ step: 'see', observe: 'look' }, inside, step('c')]);
    bench.record('look', 'good');
    bench.done('in/a');
    bench.strike('look');
    bench.record('look', 'bad');
    expect(bench.at).toBe('c');
    bench.done('c');
    bench.closes();
  });

  test('a reading that is struck chooses anew', () => {
    const bench = job([
      { step: 'read', read: 'gap' },
      choice([[gap('<', '2 mm'), 'small']], 'large'),
      step('last'),
    ]);
    bench.record('gap', '1');
    bench.done('which/case-1/small');
    bench.strike('gap');
    bench.record('gap', '5');
    expect(bench.at).toBe('which/otherwise/large');
    bench.done('which/otherwise/large');
    bench.done('last');
    bench.closes();
  });
});

describe('the ways that a choice can go', () => {
  const truths = (bench: Bench): readonly string[] =>
    waysOn(bench.plan, bench.job.control).flatMap((one) =>
      one.signal === 'branched' ? one.truth.map((yes) => (yes ? '+' : '-')).join('') : [],
    );
  // The control of a job whose reading is recorded and whose choice is still open.
  const before = (choose: unknown): Bench => {
    const bench = job([{ step: 'read', read: 'gap' }, choose]);
    const signal = {
      signal: 'recorded',
      entry: bench.plan.entries.findIndex((one) => one.name === 'gap'),
    } as const;
    bench.job = { ...bench.job, control: advance(bench.plan, bench.job.control, signal) };
    return bench;
  };
  const cases = (count: number): (readonly [unknown, string])[] =>
    Array.from({ length: count }, (_, place) => [gap('>', `${place} mm`), `c${place}`] as const);

  test('one for each case, and one for none of them where there is otherwise', () => {
    expect(truths(before(choice(cases(3))))).toEqual(['+--', '-+-', '--+']);
    expect(truths(before(choice(cases(3), 'none')))).toEqual(['---', '+--', '-+-', '--+']);
  });

  test('a condition that two cases share is true in neither', () => {
    const shared = [...cases(2), [gap('>', '0 mm'), 'same'] as const];
    expect(truths(before(choice(shared, 'none')))).toEqual(['--', '-+']);
  });

  test('a case that is known by a state leaves no other', () => {
    const on = [{ state: { cover: 'on' } }, 'covered'] as const;
    const off = [{ state: { cover: 'off' } }, 'open'] as const;
    expect(truths(before(choice([on, ...cases(2)])))).toEqual(['--']);
    expect(truths(before(choice([off, ...cases(2)])))).toEqual(['+-', '-+']);
  });

  test('an only-if is either', () => {
    expect(truths(before(step('some', { 'only-if': gap('>', '7 mm') })))).toEqual(['-', '+']);
  });

  test('twenty cases have twenty ways and one', () => {
    expect(truths(before(choice(cases(20), 'none')))).toHaveLength(21);
  });
});
