import { describe, expect, test } from 'vitest';
import { type Fact, type FactBody, factKinds } from '../../src/index.ts';
import { replay } from '../../src/replay.ts';
import { length, limits, packOf, type Written } from '../small-pack.ts';
import { Bench, lead, technician } from './bench.ts';

const document: Written = packOf(
  {
    preliminary: {
      conditions: ['cold'],
      persons: [],
      equipment: [],
      supplies: [],
      spares: [],
      safety: ['heat'],
    },
    readings: { gap: length() },
    observations: { look: { text: 't', answers: { good: 'G', bad: 'B' } } },
    tolerances: { fit: limits('gap') },
    parking: { 'only-while': { cover: 'on' }, instructions: 'i', 'on-resuming': ['cold'] },
    steps: [
      { step: 'fill', 'fill-in': 'hours' },
      { step: 'found', identify: { part: 'seal', as: 'found' } },
      { step: 'see', observe: 'look' },
      { step: 'measure', read: 'gap', judge: 'fit', 'if-nonconforming': { hold: 'ask-the-lead' } },
      {
        step: 'pick',
        select: { from: 'shims', for: 'fit', fitted: '1 mm', sensitivity: '1', more: 'raises' },
        'if-nonconforming': { hold: 'ask-the-lead' },
      },
      { step: 'extra', do: 'x', 'only-if': { logic: { '>': [{ var: 'gap' }, '2 mm'] } }, witness: 'lead' },
      { step: 'left-out', do: 'x', 'not-applicable': 'lead' },
      { step: 'old', read: 'old' },
      { step: 'next', 'refer-to': { pack: 'bench', procedure: 'test', title: 'Test' } },
    ],
  },
  {
    hazards: { heat: { signal: 'danger', text: 'Hot.' } },
    conditions: { cold: { text: 'Cold.' } },
    stock: { shims: { title: 'Shim', quantity: 'length', sizes: ['2 mm', '3 mm'] } },
    fields: { hours: { title: 'Hours' } },
    parts: { seal: { title: 'Seal', identity: 'A9' } },
    states: { cover: { is: ['on', 'off'], starts: 'on', ends: 'on' } },
    instruments: {
      gauge: {
        title: 'G',
        quantity: 'length',
        range: ['0 mm', '9 mm'],
        resolution: '1 mm',
        'if-overdue': { concession: 'lead' },
      },
    },
  },
);
const carry = { from: 'bench', procedure: 'test', value: 'gap', 'valid-for': '30 d', 'of-engine': 'hours' };
const origin = {
  ...{
    job: 'first',
    pack: 'bench',
    revision: '1.0.0',
    bundle: 'sha256:1',
    procedure: 'test',
    variant: 'small',
  },
  closed: 'finished',
  fields: [{ name: 'hours', text: '1200' }],
  values: [{ name: 'gap', title: 'Gap', at: '2027-01-01T00:00:00Z', digits: '3', unit: 'mm', exact: '3' }],
} as const;
const withGauge = {
  ...document,
  procedures: {
    main: {
      ...((document['procedures'] as Written)['main'] as Written),
      readings: { gap: length({ instrument: 'gauge' }), old: length({ carry }) },
    },
  },
};

/** A job with every kind of fact in it. */
function whole(): Bench {
  const bench = new Bench(withGauge);
  bench.does({ command: 'equip', instrument: { kind: 'gauge', identity: 'G-1' } });
  bench.does(
    { command: 'allow', instrument: 'G-1', because: 'instrument-overdue', reason: 'Compared with another.' },
    { by: lead },
  );
  bench.does({ command: 'join', role: 'second', person: 'fourth D' });
  bench.does({ command: 'acknowledge', step: 'preliminary/safety' });
  bench.done('preliminary/cold');
  bench.does({ command: 'park', reason: 'night' });
  bench.does({ command: 'note', text: 'Frost.' });
  bench.does({ command: 'resume', confirmed: ['cold'] });
  bench.record('hours', '1200');
  bench.record('seal.found', 'B2');
  bench.record('look', 'good');
  bench.record('gap', '3 mm');
  bench.strike('gap');
  bench.record('gap', '4 mm');
  bench.release('concession', { by: lead });
  bench.does({ command: 'out-of-stock', stock: 'shims', size: '3 mm' });
  bench.done('pick');
  bench.release('concession', { by: lead });
  bench.done('extra');
  bench.does({ command: 'witness', step: 'extra' }, { by: lead });
  bench.does({ command: 'omit', step: 'left-out', reason: 'not here' }, { by: lead });
  bench.does({ command: 'carry', entry: 'old', origin });
  bench.done('next');
  bench.closes();
  return bench;
}
const bench = whole();
const stored: readonly Fact[] = bench.facts;

test('every kind of fact is in this job, and what is stored makes the same job', () => {
  expect(factKinds.filter((kind) => !stored.some(({ fact }) => fact.kind === kind))).toEqual([]);
  bench.replays();
});

test('each part of the facts makes the job as it stood then', () => {
  const again = whole();
  for (let until = 1; until <= stored.length; until++) {
    const { job } = replay(again.plan, stored.slice(0, until));
    expect(job?.seq).toBe(until);
  }
});

test('ids come from the host and count within a command, times and persons are as they were', () => {
  const last = stored.filter((one) => one.fact.kind === 'reading' || one.fact.kind === 'judged').slice(0, 2);
  expect(last.map((one) => one.id.split('.')[1])).toEqual(['1', '2']);
  expect(new Set(stored.map((one) => one.id)).size).toBe(stored.length);
  expect(last[0]?.at).toBe(last[1]?.at);
});

describe('what cannot have been so is found', () => {
  const seqOf = (kind: FactBody['kind']): number => stored.find(({ fact }) => fact.kind === kind)?.seq ?? 0;
  const changed = (kind: FactBody['kind'], change: object): readonly Fact[] =>
    stored.map((one) =>
      one.seq === seqOf(kind) ? { ...one, fact: { ...one.fact, ...change } as FactBody } : one,
    );
  const without = (kind: FactBody['kind']): readonly Fact[] =>
    stored.filter((one) => one.seq !== seqOf(kind)).map((one, place) => ({ ...one, seq: place + 1 }));
  const fault = (facts: readonly Fact[]): number | undefined => replay(bench.plan, facts).fault?.seq;

  test('nothing at all', () => {
    expect(fault([])).toBe(1);
  });
  test('a gap, a start in the middle, a fact twice', () => {
    expect(fault(stored.filter((one) => one.seq !== 5))).toBe(6);
    expect(fault(stored.slice(1))).toBe(2);
    expect(fault(stored.map((one) => ({ ...one, seq: one.seq + 3 })))).toBe(4);
    expect(fault([...stored.slice(0, 4), ...stored.slice(3)])).toBe(4);
    expect(fault([...stored.slice(0, 3), { ...(stored[0] ?? stored[1]), seq: 4 } as Fact])).toBe(4);
  });
  test.each<readonly [FactBody['kind'], object]>([
    ['acknowledged', { step: 'preliminary/cold' }],
    ['done', { step: 'extra' }],
    ['reading', { entry: 'play' }],
    ['reading', { entry: 'look' }],
    ['reading', { digits: 'wide' }],
    ['observed', { answer: 'fine' }],
    ['observed', { step: 'measure' }],
    ['identified', { part: 'own' }],
    [
      'judged',
      {
        verdict: { verdict: 'inconclusive', value: '', limits: '', because: 'inside-guard-band', exact: '' },
      },
    ],
    ['judged', { step: 'extra' }],
    ['released', { release: 1 }],
    ['branched', { decided: [] }],
    ['witnessed', { step: 'measure' }],
    ['omitted', { step: 'extra' }],
  ])('%s with %j', (kind, change) => {
    expect(fault(changed(kind, change))).toBe(seqOf(kind));
  });
  test.each<FactBody['kind']>([
    'acknowledged',
    'done',
    'reading',
    'judged',
    'released',
    'branched',
    'witnessed',
    'omitted',
    'filled',
    'observed',
    'resumed',
  ])('a missing fact: %s', (kind) => {
    expect(fault(without(kind))).toBeDefined();
  });
  test.each<readonly [FactBody['kind'], object]>([
    ['started', { pack: 'other' }],
    ['started', { revision: '1.0.1' }],
    ['started', { procedure: 'other' }],
    ['started', { variant: 'large' }],
    ['started', { persons: [] }],
    ['reading', { digits: '10.1' }],
    ['reading', { digits: '-1' }],
    ['reading', { unit: 'kg' }],
    ['identified', { entry: 'hours' }],
    ['filled', { entry: 'seal.found' }],
    ['judged', { of: 'other' }],
    ['struck', { target: 2 }],
    ['struck', { target: 99 }],
    ['struck', { step: 'see' }],
    ['released', { by: 'rework' }],
    ['released', { hold: 'worn-out' }],
    ['branched', { decided: [{ condition: 'other', truth: true, explanation: '' }] }],
    ['joined', { role: 'boss' }],
    ['done', { together: 'second C' }],
  ])('%s with %j contradicts the plan or what was before', (kind, change) => {
    expect(fault(changed(kind, change))).toBe(seqOf(kind));
  });

  test.each<readonly [FactBody['kind'], string]>([
    ['noted', 'stranger'],
    ['started', 'stranger'],
    ['witnessed', technician],
    ['omitted', technician],
    ['released', technician],
  ])('%s by %s, who might not', (kind, by) => {
    expect(fault(stored.map((one) => (one.seq === seqOf(kind) ? { ...one, by } : one)))).toBe(seqOf(kind));
  });

  test('a witness who did the work, though in the role', () => {
    const done = stored.find(({ fact }) => fact.kind === 'done' && fact.step === 'extra')?.seq;
    expect(fault(stored.map((one) => (one.seq === done ? { ...one, by: lead } : one)))).toBe(
      seqOf('witnessed'),
    );
  });

  test('an observation that is judged otherwise than it was answered', () => {
    const see = new Bench(
      packOf({
        observations: {
          look: { text: 't', answers: { good: 'G', bad: 'B' }, conforming: ['good'] },
        },
        steps: [{ step: 'see', observe: 'look', 'if-nonconforming': { hold: 'ask-the-lead' } }],
      }),
    );
    see.record('look', 'good');
    expect(see.verdicts).toEqual(['look conforming']);
    const withVerdict = (verdict: object): number | undefined =>
      replay(
        see.plan,
        see.facts.map((one) =>
          one.fact.kind === 'judged' ? { ...one, fact: { ...one.fact, verdict } as FactBody } : one,
        ),
      ).fault?.seq;
    expect(withVerdict({ verdict: 'conforming', value: 'good' })).toBeUndefined();
    expect(withVerdict({ verdict: 'conforming', value: 'bad' })).toBe(3);
    expect(withVerdict({ verdict: 'nonconforming', value: 'good' })).toBe(3);
  });

  test('an act that is struck by a fact of another time', () => {
    const twice = new Bench(
      packOf({
        steps: [
          { step: 'one', do: 'x' },
          { step: 'two', do: 'x' },
        ],
      }),
    );
    twice.done('one');
    twice.strike('one');
    twice.done('one');
    twice.strike('one');
    twice.replays();
    const facts = twice.facts.map((one) =>
      one.seq === 5 ? { ...one, fact: { ...one.fact, target: 2 } as FactBody } : one,
    );
    expect(replay(twice.plan, facts).fault?.seq).toBe(5);
  });

  test('whatever stands in place of a member or a fact, it is a fault and no exception', () => {
    const odd: readonly unknown[] = [undefined, null, 5, true, 'x', [], {}, [null], [{}], { verdict: 5 }];
    stored.forEach((one, place) => {
      for (const value of odd) {
        const { fact } = one;
        const asFact: readonly unknown[] = [
          value,
          { ...one, fact: value },
          ...Object.keys(one).map((name) => ({ ...one, [name]: value })),
          ...Object.keys(fact).map((name) => ({ ...one, fact: { ...fact, [name]: value } })),
        ];
        for (const each of asFact) {
          const facts: readonly unknown[] = [...stored.slice(0, place), each, ...stored.slice(place + 1)];
          expect(() => replay(bench.plan, facts as readonly Fact[])).not.toThrow();
        }
      }
    });
    expect(fault(changed('noted', { kind: 'sung' }))).toBe(seqOf('noted'));
    expect(fault(changed('noted', { kind: 'toString' }))).toBe(seqOf('noted'));
    expect(fault(changed('noted', { text: 5 }))).toBe(seqOf('noted'));
  });

  test('anything after the job was closed', () => {
    const after = {
      ...(stored[1] as Fact),
      seq: stored.length + 1,
      fact: { kind: 'noted', text: 'x' },
    } as const;
    expect(fault([...stored, after])).toBe(stored.length + 1);
  });
});

describe('a long job', () => {
  const note = { command: 'note', text: 'n' } as const;

  test('takes time by its length and not by the square of it, and is replayed whole', () => {
    const [first] = stored;
    if (first === undefined) throw new Error('no fact');
    const notes = Array.from({ length: 40_000 }, (_, place): Fact => {
      return { ...first, seq: place + 2, id: `n.${place}`, fact: { kind: 'noted', text: 'n' } };
    });
    const timed = (count: number): number => {
      const begun = performance.now();
      const { job } = replay(bench.plan, [first, ...notes.slice(0, count)]);
      const took = performance.now() - begun;
      expect([job?.seq, job?.facts.length]).toEqual([count + 1, count + 1]);
      return took;
    };
    timed(5000);
    const least = (count: number): number => Math.min(...[1, 2, 3].map(() => timed(count)));
    // Sixteen times the facts: 16 times the time if it grows by their number, 256 times by its square.
    expect(least(40_000) / least(2500)).toBeLessThan(80);
  });

  test('an earlier job stays as it was, whatever follows it, and two can follow the same', () => {
    const one = new Bench(withGauge);
    const { job: before } = one;
    one.does(note);
    const { job: between } = one;
    one.does({ ...note, text: 'left' });
    const left = one.job;
    one.job = between;
    one.does({ ...note, text: 'right' });
    const texts = (facts: readonly Fact[]) => facts.flatMap(({ fact }) => ('text' in fact ? fact.text : []));
    expect(before.facts).toHaveLength(1);
    expect([between, left, one.job].map((each) => texts(each.facts))).toEqual([
      ['n'],
      ['n', 'left'],
      ['n', 'right'],
    ]);
    expect(left.facts).toBe(left.facts);
  });
});
