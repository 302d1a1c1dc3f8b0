import { describe, expect, test } from 'vitest';
import {
  type Fact,
  type FactBody,
  type Origin,
  offers,
  type RefusalCode,
  writeAge,
} from '../../src/index.ts';
import { handedOn, replay } from '../../src/replay.ts';
import { faultsOf, packOf, planOf, type Written } from '../small-pack.ts';
import { Bench, lead } from './bench.ts';

const instruments = {
  gauge: {
    title: 'Compression gauge',
    quantity: 'pressure',
    range: ['0 bar', '40 bar'],
    resolution: '0.2 bar',
    'maximum-permissible-error': '0.6 bar',
    calibrated: 'yes',
  },
};
const fields = { 'engine-serial': { title: 'Number of the engine' } };
const pressure = (more: Written = {}): Written => ({
  measurand: 'Pressure',
  quantity: 'pressure',
  unit: 'bar',
  instrument: 'gauge',
  per: 'bore',
  plausible: ['5 bar', '40 bar'],
  ...more,
});
const remedy = { 'if-nonconforming': { hold: 'ask-the-lead' } };
const everyBore = (...steps: readonly Written[]): Written => ({ each: 'bore', of: ['1', '2'], steps });

/** Pressures by bore, and a share of each that is derived. */
const origin = {
  ...packOf(
    {
      exports: ['pressure', 'corrected', 'air'],
      readings: {
        pressure: pressure({ repeats: { times: '2' } }),
        air: { measurand: 'Air', quantity: 'pressure', unit: 'bar', plausible: ['0.9 bar', '1.1 bar'] },
      },
      derived: {
        corrected: {
          title: 'Corrected',
          per: 'bore',
          is: { '*': [{ var: 'pressure' }, { '/': ['1 bar', { var: 'air' }] }] },
        },
      },
      tolerances: { limits: { of: 'corrected', 'at-least': '20 bar', source: 's' } },
      steps: [
        { step: 'number', 'fill-in': 'engine-serial' },
        { step: 'air', read: 'air' },
        everyBore({ step: 'take', read: 'pressure', judge: 'limits', ...remedy }),
        { step: 'last', do: 'x' },
      ],
    },
    { instruments, fields },
  ),
  pack: 'balance',
};
const gauge = { kind: 'gauge', identity: 'CG-1', due: '2099-12-31' };
/** A job in which both bores were measured; nothing is closed yet. */
function measured(serial = 'ME-1', values = ['24.6', '24.8', '25.0', '25.2'], air = '1.00'): Bench {
  const bench = new Bench(origin, { instruments: [gauge] });
  bench.record('engine-serial', serial);
  bench.record('air', air);
  for (const [place, typed] of values.entries()) bench.record(`pressure@${place < 2 ? 1 : 2}`, typed);
  return bench;
}
function closed(bench = measured()): Origin {
  if (bench.at === 'last') bench.done('last');
  bench.closes();
  return handedOn(bench.plan, bench.job, { job: 'first', record: 'sha256:9' });
}

const carry = {
  from: 'balance',
  procedure: 'main',
  value: 'corrected',
  'valid-for': '30 d',
  'of-engine': 'engine-serial',
};
const target = (more: Written = {}, reading: Written = {}): Written =>
  packOf(
    {
      readings: { compression: pressure({ carry, ...reading }) },
      derived: { least: { is: { lowest: [{ var: 'compression@1' }, { var: 'compression@2' }] } } },
      tolerances: {
        limits: { of: 'compression', 'at-least': '20 bar', source: 's' },
        least: { of: 'least', 'at-least': '20 bar', source: 's' },
      },
      steps: [
        { step: 'number', 'fill-in': 'engine-serial' },
        everyBore({ step: 'take', read: 'compression', judge: 'limits', ...remedy }),
        { step: 'compare', judge: 'least', ...remedy },
      ],
      ...more,
    },
    { instruments, fields },
  );
const begun = (document = target(), serial = 'ME-1'): Bench => {
  const bench = new Bench(document, { instruments: [gauge] });
  bench.record('engine-serial', serial);
  return bench;
};
const take = (of: Origin, entry = 'compression@1') => ({ command: 'carry', entry, origin: of }) as const;
const changed = (
  of: Origin,
  more: Partial<Origin['values'][number]>,
  rest: Partial<Origin> = {},
): Origin => ({
  ...of,
  ...rest,
  values: of.values.map((one) => ({ ...one, ...more })),
});
/** A week after the origin was measured. */
const week = (hours = 0): string => new Date(Date.UTC(2027, 0, 11, 8 + hours)).toISOString();

describe('what a job hands on', () => {
  test('every exported value at every place, with its age, verdict and uncertainty', () => {
    const of = closed();
    expect(of).toMatchObject({
      job: 'first',
      record: 'sha256:9',
      pack: 'balance',
      revision: '1.0.0',
      bundle: 'sha256:0',
      procedure: 'main',
      variant: 'small',
      closed: 'finished',
      fields: [{ name: 'engine-serial', text: 'ME-1' }],
    });
    expect(of.values.map((one) => one.name)).toEqual([
      'pressure@1',
      'pressure@2',
      'corrected@1',
      'corrected@2',
      'air',
    ]);
    const [raw, , corrected] = of.values;
    // computed: the mean of 24.6 and 24.8 is 24.7; two readings of 0.2 bar resolution, error 0.6 bar
    expect(raw).toMatchObject({ digits: '24.7', unit: 'bar', exact: '247/10', instruments: ['CG-1'] });
    expect(raw?.verdict).toBeUndefined();
    expect(corrected).toMatchObject({ title: 'Corrected', digits: '24.7', verdict: 'conforming' });
    // The air has no instrument, so nothing is known of what is corrected by it.
    expect(corrected?.uncertainty).toBeUndefined();
    // computed: u² = 0.6²/3 + 0.2²/12 + s²/2, s² = 0.02, ν₁ = 1: 0.12 + 0.00333 + 0.01 = 0.1333; ν = 0.1333²/0.01² = 177; k = 2.02; U = 0.738
    expect(raw?.uncertainty).toEqual({
      expandedUncertainty: '0.74 bar',
      coverageFactor: '2.02',
      degreesOfFreedom: 177,
    });
  });

  test('its time is that of the oldest reading', () => {
    const bench = measured();
    const of = closed(bench);
    const at = (name: string) => of.values.find((one) => one.name === name)?.at;
    const taken = (entry: string) =>
      bench.facts.find(({ fact }) => fact.kind === 'reading' && fact.entry === entry)?.at;
    expect(at('pressure@2')).toBe(taken('pressure@2'));
    expect(at('corrected@2')).toBe(taken('air'));
  });

  test('a value that does not end is kept exactly', () => {
    const of = closed(measured('ME-1', undefined, '0.99'));
    // computed: 24.7 / 0.99 = 2470/99 = 24.9494…
    expect(of.values.find((one) => one.name === 'corrected@1')).toMatchObject({
      digits: '24.95',
      exact: '2470/99',
    });
  });

  test('an open job says so, and one that was left unfinished', () => {
    const bench = measured();
    expect(handedOn(bench.plan, bench.job, { job: 'first' }).closed).toBeUndefined();
    bench.does({ command: 'abandon', reason: 'No time.' });
    const left = handedOn(bench.plan, bench.job, { job: 'first' });
    expect([left.closed, left.record]).toEqual(['unfinished', undefined]);
  });

  test('what was conceded is nonconforming all the same', () => {
    const bench = measured('ME-1', ['18', '18']);
    bench.release('concession', { by: lead });
    bench.record('pressure@2', '25');
    bench.record('pressure@2', '25');
    const of = closed(bench);
    expect(of.values.filter((one) => one.name.startsWith('corrected')).map((one) => one.verdict)).toEqual([
      'nonconforming',
      'conforming',
    ]);
  });

  test('a verdict on what was there before is none on what was read since', () => {
    const steps = [
      { step: 'a', read: 'a', judge: 'limits', ...remedy },
      { step: 'knock', do: 'x', disturbs: 'a' },
      { step: 'again', read: 'a' },
    ];
    const bench = new Bench(
      packOf(
        {
          exports: ['a'],
          readings: { a: pressure({ per: undefined }) },
          tolerances: { limits: { of: 'a', 'at-least': '20 bar', source: 's' } },
          steps,
        },
        { instruments },
      ),
      { instruments: [gauge] },
    );
    const verdict = () => handedOn(bench.plan, bench.job, { job: 'first' }).values[0]?.verdict;
    bench.record('a', '18');
    bench.release('concession', { by: lead });
    expect(verdict()).toBe('nonconforming');
    bench.done('knock');
    expect(handedOn(bench.plan, bench.job, { job: 'first' }).values[0]?.because).toBe('missing');
    bench.record('a', '25');
    expect(verdict()).toBeUndefined();
    bench.closes();
  });

  test('what was struck and not taken again is struck, what was not read is missing, what lies beyond is beyond', () => {
    const bench = new Bench(
      {
        ...packOf(
          {
            exports: ['a', 'b', 'c', 'sum'],
            readings: Object.fromEntries(['a', 'b', 'c'].map((id) => [id, pressure({ per: undefined })])),
            derived: { sum: { is: { '+': [{ var: 'a' }, { var: 'c' }] } } },
            observations: { look: { text: 't', answers: { one: 'O', two: 'T' } } },
            steps: [
              { step: 'a', read: 'a', 'not-applicable': 'lead' },
              { step: 'see', observe: 'look' },
              { step: 'b', read: 'b', 'only-if': { observed: { look: 'two' } } },
              { step: 'c', read: 'c' },
            ],
          },
          { instruments },
        ),
      },
      { instruments: [gauge] },
    );
    const handed = () =>
      handedOn(bench.plan, bench.job, { job: 'first' }).values.map((one) => one.because ?? one.digits);
    bench.record('a', '10');
    bench.record('look', 'one');
    bench.strike('a');
    bench.does({ command: 'omit', step: 'a', reason: 'Not here.' }, { by: lead });
    expect(handed()).toEqual(['struck', 'missing', 'missing', 'struck']);
    bench.record('c', '12');
    expect(handed()).toEqual(['struck', 'missing', '12', 'struck']);
  });

  test('beyond its scale it has no value', () => {
    const bench = new Bench(
      packOf(
        {
          exports: ['a'],
          readings: { a: pressure({ per: undefined, plausible: ['0 bar', '60 bar'] }) },
          steps: [{ step: 'a', read: 'a' }],
        },
        { instruments },
      ),
      { instruments: [gauge] },
    );
    bench.record('a', '> 40 bar');
    expect(handedOn(bench.plan, bench.job, { job: 'first' }).values).toEqual([
      { name: 'a', title: 'Pressure', because: 'beyond-scale' },
    ]);
  });

  test('the time since a step is judged, and not handed on', () => {
    const document = packOf({
      exports: ['waited', 'a'],
      readings: { a: pressure({ instrument: undefined, per: undefined }) },
      derived: { waited: { is: { elapsed: { since: 'b' } } } },
      tolerances: { time: { of: 'waited', 'at-most': '9 min', source: 's' } },
      steps: [
        { step: 'b', do: 'x' },
        { step: 'a', read: 'a', judge: 'time', ...remedy },
      ],
    });
    expect(planOf(document).exports.map((one) => one.name)).toEqual(['a']);
  });

  test('a job about another variant hands on what it has', () => {
    const document = packOf({
      exports: ['a', 'twice'],
      readings: { a: pressure({ instrument: undefined, per: undefined }) },
      derived: { twice: { is: { '*': [{ var: 'a' }, '2'] } } },
      steps: [
        { step: 'a', read: 'a', 'only-if': { variant: ['large'] } },
        { step: 'b', do: 'x' },
      ],
    });
    const variants = { ...(document['variants'] as Written), large: { title: 'Large' } };
    const names = (variant: string) =>
      planOf({ ...document, variants }, 'main', variant).exports.map((one) => one.name);
    expect([names('small'), names('large')]).toEqual([[], ['a', 'twice']]);
  });
});

describe('a reading that may be taken over', () => {
  test('says from where, and can be measured instead', () => {
    const bench = begun();
    const [offer] = offers(bench.plan, bench.job).offers;
    expect(offer).toMatchObject({
      offer: 'record',
      carry: {
        pack: 'balance',
        procedure: 'main',
        value: 'corrected@1',
        validFor: '30 d',
        engine: 'Number of the engine',
      },
    });
    bench.record('compression@1', '24');
    bench.record('compression@2', '25');
    bench.closes();
  });

  test('takes each bore from its own, with the whole origin in the fact', () => {
    const of = closed();
    const bench = begun();
    const facts = bench.does(take(of), { at: week() });
    expect(facts.map((one) => one.kind)).toEqual(['carried', 'judged']);
    expect(facts[0]).toEqual({
      kind: 'carried',
      step: 'bore=1/take',
      entry: 'compression@1',
      digits: '24.7',
      unit: 'bar',
      exact: '247/10',
      from: {
        job: 'first',
        record: 'sha256:9',
        pack: 'balance',
        revision: '1.0.0',
        bundle: 'sha256:0',
        procedure: 'main',
        value: 'corrected@1',
        at: of.values[2]?.at,
        engine: 'ME-1',
        verdict: 'conforming',
        instruments: ['CG-1'],
      },
    });
    bench.does(take(of, 'compression@2'), { at: week() });
    expect(bench.facts.flatMap(({ fact }) => (fact.kind === 'carried' ? fact.digits : []))).toEqual([
      '24.7',
      '25.1',
    ]);
    bench.closes();
  });

  test('may be measured at one bore and taken over at another', () => {
    const bench = begun();
    bench.record('compression@1', '22');
    bench.does(take(closed(), 'compression@2'), { at: week() });
    expect(bench.verdicts).toEqual(['limits@1 conforming', 'limits@2 conforming', 'least conforming']);
    bench.closes();
  });

  test('is judged here by the limits of this pack, exactly', () => {
    const limits = (least: string) =>
      target({
        tolerances: {
          limits: { of: 'compression', 'at-least': least, source: 's' },
          least: { of: 'least', 'at-least': '20 bar', source: 's' },
        },
      });
    const of = closed(measured('ME-1', undefined, '0.99'));
    const verdictWith = (least: string) => {
      const bench = begun(limits(least));
      bench.does(take(of), { at: week() });
      return bench.verdicts;
    };
    // computed: 2470/99 = 24.949494…, which shows as 24.95: 24.949 is below it, 24.95 above
    expect(verdictWith('24.949 bar')).toEqual(['limits@1 conforming']);
    expect(verdictWith('24.95 bar')).toEqual(['limits@1 low']);
  });

  test('a strike takes it back as one that was measured, and then it is measured or taken over', () => {
    const of = closed();
    const bench = begun();
    bench.does(take(of), { at: week() });
    bench.strike('compression@1');
    expect([bench.at, bench.cell('compression@1')]).toEqual(['bore=1/take', 'not-recorded']);
    bench.record('compression@1', '23', { at: week() });
    bench.strike('compression@1');
    bench.does(take(of), { at: week() });
    bench.does(take(of, 'compression@2'), { at: week() });
    bench.closes();
  });

  test('one bore may always be meant', () => {
    const document = target({}, { carry: { ...carry, value: 'corrected@2' } });
    const bench = begun(document);
    bench.does(take(closed()), { at: week() });
    expect(bench.facts.at(-2)?.fact).toMatchObject({ digits: '25.1', from: { value: 'corrected@2' } });
  });

  test('with repeats it is complete at once; begun by measuring, it goes on so', () => {
    const document = target({}, { repeats: { times: '2' } });
    const of = closed();
    const bench = begun(document);
    bench.record('compression@1', '24');
    expect(offers(bench.plan, bench.job).offers[0]).not.toHaveProperty('carry');
    bench.refuses(take(of), 'not-offered', { at: week() });
    bench.strike('compression@1');
    expect(bench.does(take(of), { at: week() }).map((one) => one.kind)).toEqual(['carried', 'judged']);
    bench.does(take(of, 'compression@2'), { at: week() });
    bench.closes();
  });

  test('its requires hold for it as for one that is measured', () => {
    const states = { tap: { is: ['shut', 'open'], starts: 'shut', ends: 'shut' } };
    const bench = begun({ ...target({}, { requires: { tap: 'open' } }), states });
    bench.refuses(take(closed()), 'requirement', { at: week() });
  });

  test('who took it over does not witness the step', () => {
    const steps = [
      { step: 'number', 'fill-in': 'engine-serial' },
      everyBore({ step: 'take', read: 'compression', witness: 'lead' }),
    ];
    const bench = begun(target({ steps, tolerances: {}, derived: {} }));
    bench.does(take(closed()), { at: week(), by: lead });
    bench.refuses({ command: 'witness', step: 'bore=1/take' }, 'same-person', { by: lead, at: week() });
  });

  test('handed on once more, it is as old as it was, and of the same instruments', () => {
    const first = closed();
    const document = { ...target({ exports: ['compression'] }), pack: 'second' };
    const bench = begun(document);
    for (const bore of [1, 2]) bench.does(take(first, `compression@${bore}`), { at: week() });
    bench.closes();
    const second = handedOn(bench.plan, bench.job, { job: 'second' });
    expect(second.values[0]).toMatchObject({
      name: 'compression@1',
      at: first.values[2]?.at,
      exact: '247/10',
      instruments: ['CG-1'],
      verdict: 'conforming',
    });
    const again = begun(target({}, { carry: { ...carry, from: 'second', value: 'compression' } }));
    const late = new Date(Date.UTC(2027, 1, 4, 8)).toISOString();
    again.refuses(take(second), 'too-old', { at: late });
    again.does(take(second), { at: week() });
  });
});

describe('the instrument that only such readings need', () => {
  test('may be left out when the job begins, and is asked for when one is measured', () => {
    const bench = new Bench(target());
    bench.record('engine-serial', 'ME-1');
    bench.does(take(closed()), { at: week() });
    bench.refuses({ command: 'record', entry: 'compression@2', value: '24' }, 'instrument-missing');
    bench.does({ command: 'equip', instrument: gauge });
    bench.record('compression@2', '24');
    bench.closes();
  });

  test('is needed where another reading needs it too', () => {
    const document = target({
      readings: { compression: pressure({ carry }), oil: pressure({ per: undefined }) },
      steps: [
        { step: 'number', 'fill-in': 'engine-serial' },
        { step: 'oil', read: 'oil' },
        everyBore({ step: 'take', read: 'compression' }),
      ],
      tolerances: {},
      derived: {},
    });
    expect(() => new Bench(document)).toThrow('instrument-missing');
  });
});

describe('its uncertainty', () => {
  const guarded = { rule: 'guarded-acceptance', 'at-least': '20 bar', source: 's' };
  const sections = {
    tolerances: { limits: { of: 'compression', ...guarded }, least: { of: 'mean', ...guarded } },
    derived: { mean: { is: { mean: [{ var: 'compression@1' }, { var: 'compression@2' }] } } },
    steps: [
      { step: 'number', 'fill-in': 'engine-serial' },
      everyBore({
        step: 'take',
        read: 'compression',
        judge: 'limits',
        ...remedy,
        'if-inconclusive': { hold: 'ask-the-lead' },
      }),
      { step: 'compare', judge: 'least', ...remedy, 'if-inconclusive': { hold: 'ask-the-lead' } },
    ],
  };
  const stated = (instruments_: readonly string[] | undefined, U = '0.40 bar', k = '2.5'): Origin =>
    changed(closed(), {
      uncertainty: { expandedUncertainty: U, coverageFactor: k },
      ...(instruments_ === undefined ? {} : { instruments: instruments_ }),
    });
  const variances = (facts: readonly Fact[]): readonly (string | undefined)[] =>
    facts.flatMap(({ fact }) => (fact.kind === 'judged' ? [fact.verdict.assessment?.variance] : []));

  test('enters by (U/k)², as one from a calibration certificate does', () => {
    const bench = begun(target(sections));
    for (const bore of [1, 2]) bench.does(take(stated(['CG-1']), `compression@${bore}`), { at: week() });
    // computed: (0.40/2.5)² = 0.0256 = 16/625; of the mean, both by one instrument and so alike: (½ + ½)² · 0.0256
    expect(variances(bench.facts)).toEqual(['16/625', '16/625', '16/625']);
    bench.closes();
  });

  test('of two instruments they are independent; where several took part, any may be meant', () => {
    const meanBy = (first: readonly string[] | undefined, second: readonly string[] | undefined) => {
      const bench = begun(target(sections));
      bench.does(take(stated(first)), { at: week() });
      bench.does(take(stated(second), 'compression@2'), { at: week() });
      return variances(bench.facts).at(-1);
    };
    // computed: independent, 0.0256/2 = 0.0128 = 8/625
    expect(meanBy(['CG-1'], ['CG-2'])).toBe('8/625');
    expect(meanBy(['CG-1', 'CG-2'], ['CG-2'])).toBe('16/625');
    expect(meanBy(undefined, ['CG-2'])).toBe('8/625');
    expect(meanBy([], [])).toBe('16/625');
  });

  test('beside one that is measured it is another source', () => {
    const bench = begun(target(sections));
    bench.does(take(stated(['CG-1'])), { at: week() });
    bench.record('compression@2', '24', { at: week() });
    // computed: ½² · (0.0256 + 0.6²/3 + 0.2²/12) = ¼ · (0.0256 + 0.12 + 1/300) = 0.0372333… = 1117/30000
    expect(variances(bench.facts).at(-1)).toBe('1117/30000');
  });

  test('where none is stated a rule that needs it decides nothing', () => {
    const bench = begun(target(sections));
    const facts = bench.does(take(closed()), { at: week() });
    expect(facts[1]).toMatchObject({
      kind: 'judged',
      verdict: { verdict: 'inconclusive', because: 'uncertainty-unknown' },
    });
  });

  test('what cannot be read is refused', () => {
    for (const [U, k] of [
      ['0.4 mm', '2'],
      ['-0.4 bar', '2'],
      ['0.4', '2'],
      ['0.4 bar', '0'],
      ['0.4 bar', 'two'],
      ['0.4 bar', '-2'],
    ] as const)
      begun(target(sections)).refuses(take(stated(['CG-1'], U, k)), 'not-carryable', { at: week() });
  });
});

describe('is refused, with what to do', () => {
  const of = closed();
  const refused = (code: RefusalCode, origin_: Origin, more: { at?: string; entry?: string } = {}): void =>
    begun().refuses(take(origin_, more.entry), code, { at: more.at ?? week() });
  const at = (of.values[2]?.at ?? '') as string;
  const after = (seconds: number): string => new Date(Date.parse(at) + seconds * 1000).toISOString();

  test('when it is older than it may be, to the second', () => {
    refused('too-old', of, { at: after(30 * 86_400 + 1) });
    begun().does(take(of), { at: after(30 * 86_400) });
  });

  test('when it is of a time to come; at the same moment it is not', () => {
    refused('from-the-future', of, { at: after(-1) });
    begun().does(take(of), { at: after(0) });
    // An offset is no time passed.
    begun().does(take(changed(of, { at: '2027-01-04T12:00:00+04:00' })), { at: '2027-01-04T08:00:00Z' });
  });

  test('when it is no time', () => {
    refused('not-carryable', changed(of, { at: 'last week' }));
  });

  test('of another engine, or where either number is not known', () => {
    refused('other-engine', closed(measured('ME-2')));
    refused('other-engine', { ...of, fields: [] });
    const unnumbered = target({
      steps: [
        { step: 'number', 'fill-in': 'engine-serial', 'not-applicable': 'lead' },
        everyBore({ step: 'take', read: 'compression' }),
      ],
      tolerances: {},
      derived: {},
    });
    const bench = new Bench(unnumbered, { instruments: [gauge] });
    bench.does({ command: 'omit', step: 'number', reason: 'No plate.' }, { by: lead });
    bench.refuses(take(of), 'other-engine', { at: week() });
    bench.refuses(take({ ...of, fields: [{ name: 'engine-serial', text: '' }] }), 'other-engine', {
      at: week(),
    });
    bench.record('compression@1', '24');
  });

  test('and then the number of another engine cannot be written down', () => {
    const bench = begun();
    bench.does(take(of), { at: week() });
    bench.strike('engine-serial');
    const number = (value: string) => ({ command: 'record', entry: 'engine-serial', value }) as const;
    bench.refuses(number('ME-2'), 'other-engine');
    bench.does({ command: 'strike', target: bench.seqOf('compression@1'), reason: 'Another engine.' });
    bench.does(number('ME-2'));
    bench.refuses(take(of), 'other-engine', { at: week() });
  });

  test.each([
    ['of another pack', { pack: 'small' }],
    ['of another procedure', { procedure: 'other' }],
    ['not closed', { closed: undefined }],
    ['closed unfinished', { closed: 'unfinished' }],
    ['without the value', { values: [] }],
  ] as const)('a job that is %s', (_, more) => {
    const { closed: is, ...rest } = { ...of, ...more };
    refused('not-carryable', is === undefined ? rest : { ...rest, closed: is });
  });

  test.each([
    ['no value', { because: 'missing' }, 'not-carryable'],
    ['one beyond its scale', { because: 'beyond-scale' }, 'not-carryable'],
    ['one that was struck', { because: 'struck' }, 'origin-struck'],
  ] as const)('%s', (_, value, code) => {
    const values = of.values.map(({ name, title }) => ({ name, title, ...value }));
    refused(code, { ...of, values });
  });

  test.each([
    ['of another kind', { unit: 'mm' }, 'not-carryable'],
    ['in no unit', { unit: '' }, 'not-carryable'],
    ['no number', { digits: 'x' }, 'not-carryable'],
    ['whose digits say something else', { digits: '24.8' }, 'not-carryable'],
    ['no fraction', { exact: '247/0' }, 'not-carryable'],
    ['too long to be one', { exact: `${'9'.repeat(300)}/1` }, 'not-carryable'],
    ['nonconforming', { verdict: 'nonconforming' }, 'origin-nonconforming'],
    ['inconclusive', { verdict: 'inconclusive' }, 'origin-nonconforming'],
    ['implausible here', { digits: '4.0', exact: '4' }, 'implausible'],
  ] as const)('a value that is %s', (_, more, code) => refused(code, changed(of, more)));

  test('where the pack does not say so, where it is not asked for, and where the data are none', () => {
    const { carry: _, ...measured_ } = pressure({ carry });
    const plain = target({ readings: { compression: measured_ } });
    begun(plain).refuses(take(of), 'not-carryable', { at: week() });
    refused('not-offered', of, { entry: 'compression@2' });
    refused('not-offered', of, { entry: 'nothing' });
  });

  test('data of another form', () => {
    const bench = begun();
    for (const origin_ of [undefined, null, 'first', {}, { ...of, values: 'x' }, { ...of, fields: [1] }])
      bench.refuses(
        { command: 'carry', entry: 'compression@1', origin: origin_ as unknown as Origin },
        'wrong-shape',
      );
  });
});

describe('its facts', () => {
  const bench = begun();
  bench.does(take(closed()), { at: week() });
  bench.does(take(closed(), 'compression@2'), { at: week() });
  const stored = JSON.parse(JSON.stringify(bench.facts)) as readonly Fact[];
  type Carried = Extract<FactBody, { kind: 'carried' }>;
  const faultWith = (more: (fact: Carried) => object): { seq: number; message: string } | undefined =>
    replay(
      bench.plan,
      stored.map((one) =>
        one.fact.kind === 'carried' && one.fact.entry === 'compression@1'
          ? ({ ...one, fact: { ...one.fact, ...more(one.fact) } } as Fact)
          : one,
      ),
    ).fault;

  test('make the same job again', () => bench.replays());

  test.each([
    ['older than it may be', (fact: Carried) => ({ from: { ...fact.from, at: '2026-01-01T00:00:00Z' } })],
    ['of a time to come', (fact: Carried) => ({ from: { ...fact.from, at: '2028-01-01T00:00:00Z' } })],
    ['of another engine', (fact: Carried) => ({ from: { ...fact.from, engine: 'ME-2' } })],
    ['of another pack', (fact: Carried) => ({ from: { ...fact.from, pack: 'other' } })],
    ['of another bore', (fact: Carried) => ({ from: { ...fact.from, value: 'corrected@2' } })],
    ['nonconforming there', (fact: Carried) => ({ from: { ...fact.from, verdict: 'nonconforming' } })],
    ['another number than its digits', () => ({ exact: '25' })],
    ['implausible', () => ({ digits: '90', exact: '90' })],
    ['of another kind', () => ({ unit: 'mm' })],
    ['without an origin', () => ({ from: undefined })],
    [
      'with an uncertainty of nothing',
      () => ({ uncertainty: { expandedUncertainty: '1 mm', coverageFactor: '2' } }),
    ],
    ['of a reading that is not taken over', () => ({ entry: 'engine-serial' })],
  ])('cannot be %s', (_, more) => {
    expect(faultWith(() => ({}))).toBeUndefined();
    expect(faultWith(more)?.message).toBeTruthy();
  });

  test('a number of another engine cannot have been written down after it', () => {
    const other = begun();
    other.does(take(closed()), { at: week() });
    other.strike('engine-serial');
    other.record('engine-serial', 'ME-1');
    const facts = JSON.parse(JSON.stringify(other.facts)) as readonly Fact[];
    const last = facts.at(-1);
    const changed_ = facts.map((one) =>
      one === last && one.fact.kind === 'filled' ? { ...one, fact: { ...one.fact, text: 'ME-2' } } : one,
    );
    expect(replay(other.plan, facts).fault).toBeUndefined();
    expect(replay(other.plan, changed_).fault?.message).toContain('ME-1');
  });
});

describe('in a pack', () => {
  const codes = (document: Written): readonly string[] =>
    faultsOf(document).map(
      (one) => `${one.code} ${one.pointer.replace('/procedures/main/readings/compression/carry', '…')}`,
    );
  const withCarry = (more: Written): Written => target({}, { carry: { ...carry, ...more } });

  test('the field has to be declared, and filled in before', () => {
    expect(codes(target())).toEqual([]);
    expect(codes(withCarry({ 'of-engine': 'engine-serail' }))).toEqual(['unknown-name …/of-engine']);
    const steps = [
      everyBore({ step: 'take', read: 'compression' }),
      { step: 'number', 'fill-in': 'engine-serial' },
    ];
    expect(codes(target({ steps, tolerances: {}, derived: {} }))).toEqual(['never-taken …/of-engine']);
    expect(codes(target({ steps: steps.slice(0, 1), tolerances: {}, derived: {} }))).toEqual([
      'never-taken …/of-engine',
    ]);
  });

  test('how long it holds is a time above none', () => {
    expect(codes(withCarry({ 'valid-for': '30 bar' }))).toEqual([expect.stringContaining('…/valid-for')]);
    expect(codes(withCarry({ 'valid-for': '0 d' }))).toEqual(['wrong-value …/valid-for']);
  });

  test('inside one pack the procedure and what it exports are known', () => {
    const own = { from: 'small', procedure: 'other', value: 'gap' };
    const other = (exports: readonly string[]): Written => ({
      title: 'Other',
      exports,
      readings: { gap: pressure({ per: undefined }) },
      steps: [{ step: 'gap', read: 'gap' }],
    });
    const both = (more: Written, exports: readonly string[] = ['gap']): Written => {
      const document = withCarry({ ...own, ...more });
      const procedures = { ...(document['procedures'] as Written), other: other(exports) };
      return { ...document, procedures };
    };
    expect(codes(both({}))).toEqual([]);
    expect(codes(both({ procedure: 'othre' }))).toEqual(['unknown-name …/procedure']);
    expect(codes(both({ value: 'gpa' }))).toEqual(['unknown-name …/value']);
    expect(codes(both({}, []))).toEqual(['unknown-name …/value']);
  });

  test('all of it is needed', () => {
    for (const key of Object.keys(carry)) {
      const { [key as keyof typeof carry]: __, ...rest } = carry;
      expect(codes(target({}, { carry: rest }))).toEqual([expect.stringContaining('missing-key')]);
    }
  });
});

test('an age is said in whole units', () => {
  const ages = [30, 60, 3599, 3600, 86_399, 86_400, 5 * 86_400 + 3600].map((seconds) =>
    writeAge('2027-01-01T00:00:00Z', new Date(Date.UTC(2027, 0, 1) + seconds * 1000).toISOString()),
  );
  expect(ages).toEqual([
    'less than a minute',
    '1 minute',
    '59 minutes',
    '1 hour',
    '23 hours',
    '1 day',
    '5 days',
  ]);
});
