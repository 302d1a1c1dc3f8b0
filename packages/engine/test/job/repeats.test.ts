import { describe, expect, test } from 'vitest';
import { type Fact, type FactBody, type InstrumentUsed, offers, recordedValue } from '../../src/index.ts';
import { replay } from '../../src/replay.ts';
import { faultsOf, holds, length, limits, packOf, type Written } from '../small-pack.ts';
import { Bench, lead, technician } from './bench.ts';

const step = (id: string, more: Written = {}): Written => ({ step: id, do: 'x', ...more });
const measure: Written = {
  step: 'measure',
  read: 'gap',
  judge: 'fit',
  'if-nonconforming': { hold: 'ask-the-lead' },
};
const pack = (repeats: Written, reading: Written = {}, steps: readonly unknown[] = [measure, step('last')]) =>
  packOf(
    {
      readings: { gap: length({ repeats, ...reading }), play: length() },
      tolerances: { fit: limits('gap') },
      steps,
      parking: { 'only-while': { cover: 'on' }, instructions: 'i', 'on-resuming': ['cold'] },
    },
    {
      states: { cover: { is: ['on', 'off'], starts: 'on', ends: 'on' } },
      conditions: { cold: { text: 'Cold.' } },
      instruments: {
        gauge: { title: 'Gauge', quantity: 'length', range: ['0 mm', '10 mm'], resolution: '0.01 mm' },
      },
      holds,
    },
  );
const three = { times: '3', 'agree-within': '0.02 mm', most: '7' };

type ReadingFact = Extract<FactBody, { kind: 'reading' }>;
const readingsOf = (facts: readonly FactBody[]): readonly ReadingFact[] =>
  facts.filter((one) => one.kind === 'reading');
/** What the facts of the indications say of the repeats, each in short. */
const said = ({ repeat, open, spread, wide, outlier }: ReadingFact): string =>
  [
    `${repeat}`,
    open ? 'open' : '',
    wide ? (spread ?? 'wide') : '',
    outlier === undefined ? '' : `outlier ${outlier}`,
  ]
    .filter((one) => one !== '')
    .join(' ');
const taking = (bench: Bench, values: readonly string[]): readonly string[] =>
  values.flatMap((value) => readingsOf(bench.record('gap', value)).map(said));
const recorded = (bench: Bench): string | undefined => {
  const value = recordedValue(bench.job.taken[bench.plan.entries.findIndex((one) => one.name === 'gap')]);
  return typeof value === 'object' ? value.value.toFraction() : undefined;
};
const askedFor = (bench: Bench) => {
  const offer = offers(bench.plan, bench.job).offers.find((one) => one.offer === 'record');
  return offer?.offer === 'record' ? offer.repeats : undefined;
};

// How often an indication is asked for, and what its fact says: computed by hand from the rule as it is documented.
describe('which repeats are asked for', () => {
  const table: readonly (readonly [string, Written, readonly string[], readonly string[], string])[] = [
    ['they agree', three, ['1.50', '1.51', '1.52'], ['1 open', '2 open', '3'], '151/100'],
    ['as far apart as they may lie', three, ['1.50', '1.52', '1.50'], ['1 open', '2 open', '3'], '113/75'],
    [
      'too far apart, to the most there may be',
      { times: '2', 'agree-within': '0.01 mm', most: '5' },
      ['1.50', '1.55', '1.52', '1.52', '1.53'],
      ['1 open', '2 open 0.05 mm', '3 open 0.05 mm', '4 open 0.05 mm', '5 0.05 mm'],
      '381/250',
    ],
    [
      'two more than times, if most is not said',
      { times: '2', 'agree-within': '0.01 mm' },
      ['1', '1.1', '1.2', '1.3'],
      ['1 open', '2 open 0.1 mm', '3 open 0.2 mm', '4 0.3 mm'],
      '23/20',
    ],
    ['nothing has to agree', { times: '2' }, ['1', '9'], ['1 open', '2'], '5'],
    [
      'the lowest is taken',
      { times: '3', take: 'lowest' },
      ['1.6', '1.5', '1.7'],
      ['1 open', '2 open', '3'],
      '3/2',
    ],
    [
      'the highest is taken',
      { times: '3', take: 'highest' },
      ['1.6', '1.7', '1.5'],
      ['1 open', '2 open', '3'],
      '17/10',
    ],
    ['in two units', { times: '2' }, ['1 in', '0'], ['1 open', '2'], '127/10'],
  ];
  test.each(table)('%s', (_, repeats, values, facts, value) => {
    const bench = new Bench(pack(repeats, { plausible: ['0 mm', '30 mm'] }));
    expect(taking(bench, values)).toEqual(facts);
    expect(recorded(bench)).toBe(value);
    bench.replays();
  });

  test('the last one alone is a signal, and the verdict is on the exact mean', () => {
    const bench = new Bench(pack({ times: '3' }));
    expect(bench.record('gap', '1.0')).toHaveLength(1);
    expect([bench.cell('gap'), bench.at]).toEqual(['not-recorded', 'measure']);
    expect(bench.record('gap', '2.0').map((one) => one.kind)).toEqual(['reading']);
    // (1.0 + 2.0 + 3.1) ÷ 3 lies above 2.0 by a thirtieth: in doubles or rounded to a digit it would be 2.0.
    const [, judged] = bench.record('gap', '3.1');
    expect(judged).toMatchObject({ kind: 'judged', verdict: { side: 'high', exact: '61/30' } });
    bench.release('concession', { by: lead });
    bench.done('last');
    bench.closes();
  });

  test('one that stands out is noted by its number, and counts', () => {
    const bench = new Bench(pack({ times: '6' }));
    const facts = taking(bench, ['1.50', '1.51', '1.90', '1.50', '1.51', '1.50']);
    expect(facts.at(-1)).toBe('6 outlier 3');
    expect(recorded(bench)).toBe('157/100');
    bench.replays();
  });

  test('none stands out by the smallest step that is shown, nor within what they may differ by', () => {
    const bench = new Bench(pack({ times: '3' }, { instrument: 'gauge' }));
    expect(taking(bench, ['1.50', '1.51', '1.50']).at(-1)).toBe('3');
    const coarse = new Bench(pack({ times: '3' }, { instrument: 'gauge' }));
    expect(taking(coarse, ['1.50', '1.52', '1.50']).at(-1)).toBe('3 outlier 2');
    const agreed = new Bench(pack({ times: '3', 'agree-within': '0.02 mm' }, { instrument: 'gauge' }));
    expect(taking(agreed, ['1.50', '1.52', '1.50']).at(-1)).toBe('3');
    const closer = new Bench(
      pack({ times: '3', 'agree-within': '0.004 mm', most: '3' }, { instrument: 'gauge' }),
    );
    expect(taking(closer, ['1.50', '1.51', '1.50']).at(-1)).not.toContain('outlier');
  });

  test('without an instrument the last digit that all of them have is such a step', () => {
    const bench = () => new Bench(pack({ times: '3' }));
    expect(taking(bench(), ['1.50', '1.51', '1.50']).at(-1)).toBe('3');
    expect(taking(bench(), ['1.5', '1.60', '1.500']).at(-1)).toBe('3');
    expect(taking(bench(), ['1.500', '1.510', '1.500']).at(-1)).toBe('3 outlier 2');
  });
});

describe('what is offered', () => {
  test('which one of how many, the spread, and the one furthest from the mean', () => {
    const bench = new Bench(pack(three));
    expect(askedFor(bench)).toMatchObject({
      next: 1,
      of: 3,
      taken: [],
      isWide: false,
      agreeWithin: '0.02 mm',
    });
    bench.record('gap', '1.50');
    expect(askedFor(bench)).toMatchObject({ next: 2, of: 3 });
    bench.record('gap', '1.51');
    bench.record('gap', '1.55');
    expect(askedFor(bench)).toMatchObject({ next: 4, of: 5, spread: '0.05 mm', isWide: true, worst: 3 });
    bench.record('gap', '1.51');
    expect(askedFor(bench)).toMatchObject({ next: 5, of: 5 });
    bench.record('gap', '1.51');
    expect(askedFor(bench)).toMatchObject({ next: 6, of: 7 });
  });

  test('no more than the most there may be', () => {
    const bench = new Bench(pack({ times: '2', 'agree-within': '0.02 mm', most: '3' }));
    bench.record('gap', '1.50');
    bench.record('gap', '1.55');
    expect(askedFor(bench)).toMatchObject({ next: 3, of: 3, isWide: true });
  });

  test('a step cannot be left out once a repeat is in', () => {
    const bench = new Bench(
      pack(three, {}, [{ step: 'look', read: 'gap', 'not-applicable': 'lead' }, step('last')]),
    );
    expect(bench.offered).toContain('omit look');
    bench.record('gap', '1.5');
    expect(bench.offered).not.toContain('omit look');
    bench.refuses({ command: 'omit', step: 'look', reason: 'r' }, 'not-offered', { by: lead });
    bench.strike('gap');
    bench.does({ command: 'omit', step: 'look', reason: 'r' }, { by: lead });
  });
});

describe('a strike', () => {
  test('of one repeat takes that one away, and its number is asked for again', () => {
    const bench = new Bench(pack(three));
    taking(bench, ['1.50', '1.90']);
    const [struck] = bench.strike('gap');
    expect(struck).toMatchObject({ kind: 'struck', entry: 'gap', open: true });
    expect(taking(bench, ['1.51', '1.52'])).toEqual(['2 open', '3']);
    expect(recorded(bench)).toBe('151/100');
    bench.done('last');
    bench.closes();
  });

  test('of the first leaves the others their numbers', () => {
    const bench = new Bench(pack({ times: '3' }));
    taking(bench, ['1.9', '1.6']);
    const [first] = bench.facts.filter((one) => one.fact.kind === 'reading');
    bench.does({ command: 'strike', target: first?.seq ?? 0, reason: 'misread' });
    expect(askedFor(bench)).toMatchObject({ next: 1, of: 3 });
    bench.refuses({ command: 'strike', target: first?.seq ?? 0, reason: 'again' }, 'nothing-to-strike');
    expect(taking(bench, ['1.5', '1.7'])).toEqual(['1 open', '3']);
    expect(recorded(bench)).toBe('8/5');
    bench.replays();
  });

  test('of a slip lets the others agree', () => {
    const bench = new Bench(pack(three));
    taking(bench, ['1.50', '1.90', '1.51', '1.51']);
    bench.does({ command: 'strike', target: (bench.facts.at(-3) as Fact).seq, reason: 'the gauge slipped' });
    expect(askedFor(bench)).toMatchObject({ next: 2, of: 4, isWide: false });
    expect(taking(bench, ['1.50'])).toEqual(['2']);
    expect(recorded(bench)).toBe('301/200');
  });

  test.each([1, 2, 3])('of repeat %i of a finished reading takes them all', (which) => {
    const bench = new Bench(pack({ times: '3' }));
    taking(bench, ['1.5', '1.6', '1.7']);
    const seqs = bench.facts.filter((one) => one.fact.kind === 'reading').map((one) => one.seq);
    const target = seqs[which - 1] ?? 0;
    const [struck] = bench.does({ command: 'strike', target, reason: 'the gauge was not zeroed' });
    expect(struck).toMatchObject({ target, also: seqs.filter((one) => one !== target) });
    expect([bench.at, bench.cell('gap'), recorded(bench)]).toEqual(['measure', 'not-recorded', undefined]);
    expect(taking(bench, ['1.1', '1.2', '1.3'])).toEqual(['1 open', '2 open', '3']);
    bench.done('last');
    bench.closes();
  });

  test('of an earlier entry leads away, and the repeats begin anew', () => {
    const bench = new Bench(pack(three, {}, [{ step: 'first', read: 'play' }, measure, step('last')]));
    bench.record('play', '1');
    taking(bench, ['1.5', '1.5']);
    bench.strike('play');
    bench.record('play', '2');
    expect([bench.at, askedFor(bench)?.next]).toEqual(['measure', 1]);
    expect(taking(bench, ['1.1', '1.1', '1.1'])).toEqual(['1 open', '2 open', '3']);
    expect(recorded(bench)).toBe('11/10');
    bench.done('last');
    bench.closes();
  });

  test('of what the same step took leaves them', () => {
    const bench = new Bench(pack(three, {}, [{ step: 'both', read: ['play', 'gap'] }, step('last')]));
    taking(bench, ['1.5']);
    bench.record('play', '1');
    taking(bench, ['1.5']);
    bench.strike('play');
    bench.record('play', '2');
    expect(taking(bench, ['1.5'])).toEqual(['3']);
    bench.replays();
  });
});

test('a job that is parked among the repeats keeps them', () => {
  const bench = new Bench(pack(three));
  taking(bench, ['1.50', '1.51']);
  bench.does({ command: 'park', reason: 'night' });
  bench.refuses({ command: 'record', entry: 'gap', value: '1.5' }, 'job-parked');
  bench.refuses({ command: 'strike', target: bench.seqOf('gap'), reason: 'r' }, 'job-parked');
  bench.does({ command: 'resume', confirmed: ['cold'] });
  expect(taking(bench, ['1.52'])).toEqual(['3']);
  bench.replays();
});

test('a rework forgets the repeats as it forgets the reading', () => {
  const rework = {
    rework: [step('grind')],
    'resume-at': 'measure',
    attempts: '2',
    exhausted: 'ask-the-lead',
  };
  const bench = new Bench(
    pack({ times: '2' }, {}, [{ ...measure, 'if-nonconforming': rework }, step('last')]),
  );
  taking(bench, ['5', '5']);
  bench.done('measure/if-nonconforming/grind');
  expect(taking(bench, ['1.5', '1.7'])).toEqual(['1 open', '2']);
  expect(recorded(bench)).toBe('8/5');
  bench.done('last');
  bench.closes();
});

test('who took one of the repeats did the work', () => {
  const witnessed = { ...measure, witness: 'lead' };
  const bench = new Bench(pack({ times: '2' }, {}, [witnessed, step('last')]));
  bench.record('gap', '1.5', { by: lead });
  bench.record('gap', '1.5');
  bench.refuses({ command: 'witness', step: 'measure' }, 'same-person', { by: lead });
});

test('repeats are taken with one instrument', () => {
  const gauge = (identity: string): InstrumentUsed => ({ kind: 'gauge', identity });
  const bench = new Bench(pack({ times: '2' }, { instrument: 'gauge' }), { instruments: [gauge('G-1')] });
  bench.record('gap', '1.5');
  bench.does({ command: 'equip', instrument: gauge('G-2') });
  bench.refuses({ command: 'record', entry: 'gap', value: '1.5' }, 'other-instrument');
  bench.does({ command: 'record', entry: 'gap', value: '1.5', instrument: 'G-1' });
  bench.strike('gap');
  bench.record('gap', '1.5');
  bench.record('gap', '1.6');
  expect(recorded(bench)).toBe('31/20');
  bench.replays();
});

describe('facts that were tampered with', () => {
  const facts = (values: readonly string[]): Fact[] => {
    const bench = new Bench(pack(three));
    taking(bench, values);
    return JSON.parse(JSON.stringify(bench.facts)) as Fact[];
  };
  const faultOf = (all: readonly Fact[]): number | undefined =>
    replay(new Bench(pack(three)).plan, all).fault?.seq;
  const changed = (all: readonly Fact[], at: number, more: object): Fact[] =>
    all.map((one, place) => (place === at ? ({ ...one, fact: { ...one.fact, ...more } } as Fact) : one));

  test('as they were, they make the job', () => {
    expect(faultOf(facts(['1.50', '1.51', '1.52']))).toBeUndefined();
  });

  test.each([
    ['a repeat that completes too early', 2, { open: undefined }],
    ['one that stays open too long', 3, { open: true }],
    ['another number', 2, { repeat: 3 }],
    ['no number', 2, { repeat: undefined }],
    ['a value for which more would have been asked', 3, { digits: '1.58' }],
    ['a value that is not plausible', 2, { digits: '11' }],
  ])('%s', (_, at, more) => {
    const all = facts(['1.50', '1.51', '1.52']);
    expect(faultOf(changed(all, at, more))).toBe(at + 1);
  });

  test('a strike that leaves one of the repeats out', () => {
    const bench = new Bench(pack(three));
    taking(bench, ['1.50', '1.51', '1.52']);
    bench.strike('gap');
    const all = JSON.parse(JSON.stringify(bench.facts)) as Fact[];
    expect(faultOf(all)).toBeUndefined();
    for (const more of [{ also: [2] }, { also: undefined }, { also: [2, 3, 4] }, { open: true }])
      expect(faultOf(changed(all, all.length - 1, more))).toBe(all.length);
  });

  test('a job stored before readings were repeated still reads', () => {
    const bench = new Bench(pack({}, { repeats: undefined }));
    bench.record('gap', '1.5');
    const all = JSON.parse(JSON.stringify(bench.facts)) as Fact[];
    expect(Object.keys(all[1]?.fact ?? {})).toEqual(['kind', 'step', 'entry', 'typed', 'digits', 'unit']);
    bench.replays();
  });
});

// Random takings and strikes against a list that is kept by hand.
test('in any order of takings, strikes and parkings the reading is that of what counts', () => {
  let seed = 7;
  const below = (most: number): number => {
    seed = (seed * 48271) % 2147483647;
    return seed % most;
  };
  for (let run = 0; run < 150; run++) {
    const times = 2 + below(3);
    const most = times + below(4);
    const bench = new Bench(pack({ times: `${times}`, 'agree-within': '0.05 mm', most: `${most}` }));
    const counting = new Map<number, number>();
    for (let move = 0; move < 30 && bench.at === 'measure'; move++) {
      const seqs = [...counting.keys()];
      const what = below(10);
      if (what < 3 && seqs.length > 0) {
        const target = seqs[below(seqs.length)] ?? 0;
        bench.does({ command: 'strike', target, reason: 'r' });
        counting.delete(target);
      } else if (what === 3) {
        bench.does({ command: 'park', reason: 'r' });
        bench.does({ command: 'resume', confirmed: ['cold'] });
      } else {
        const hundredths = 150 + below(9);
        const [fact] = readingsOf(bench.record('gap', (hundredths / 100).toFixed(2), { by: technician }));
        counting.set(bench.seqOf('gap'), hundredths);
        const all = [...counting.values()];
        const isWide = Math.max(...all) - Math.min(...all) > 5;
        const isOpen = all.length < times || (isWide && all.length < most);
        expect(fact?.open === true).toBe(isOpen);
        if (isOpen) continue;
        const sum = all.reduce((a, b) => a + b);
        expect(Number(recorded(bench)?.split('/')[0]) * all.length * 100).toBe(
          sum * Number(recorded(bench)?.split('/')[1] ?? 1),
        );
      }
    }
    bench.replays();
  }
});

describe('what an author may get wrong', () => {
  const codes = (repeats: Written, reading: Written = {}) =>
    faultsOf(pack(repeats, reading)).map((one) => `${one.code} ${one.pointer.split('/').slice(5).join('/')}`);
  test.each([
    [{ times: '1' }, {}, 'bad-repeats repeats/times'],
    [{ times: '3', 'agree-within': '1 mm', most: '2' }, {}, 'bad-repeats repeats/most'],
    [{ times: '3', most: '5' }, {}, 'bad-repeats repeats/most'],
    [{ times: '3', 'agree-within': '0 mm' }, {}, 'bad-repeats repeats/agree-within'],
    [{ times: '3', 'agree-within': '-1 mm' }, {}, 'bad-repeats repeats/agree-within'],
    [{ times: '3', 'agree-within': '1 bar' }, {}, 'wrong-quantity repeats/agree-within'],
    [{ times: '2' }, { circle: '360°' }, 'bad-circle circle'],
  ] as const)('%j', (repeats, reading, code) => {
    expect(codes(repeats, reading)).toContain(code);
  });

  test('a count is not repeated', () => {
    const count = { quantity: 'count', unit: undefined, plausible: ['0', '9'] };
    expect(codes({ times: '2' }, count)).toContain('bad-repeats repeats');
  });
});
