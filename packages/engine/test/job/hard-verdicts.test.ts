import { describe, expect, test } from 'vitest';
import { adviceOn, type FactBody, type InstrumentUsed, offers, suitability } from '../../src/index.ts';
import { faultsOf, length, limits, packOf, planOf, type Written } from '../small-pack.ts';
import { Bench } from './bench.ts';

/** ±0.02 mm and steps of 0.01 mm: u² = 0.0001/12 + 0.0004/3 mm², U = 0.0238 mm for one reading. */
const gauge: Written = {
  title: 'Gauge',
  quantity: 'length',
  range: ['-10 mm', '10 mm'],
  resolution: '0.01 mm',
  'maximum-permissible-error': '0.02 mm',
};
const names = ['a', 'b', 'c'];
const readings = Object.fromEntries(
  names.map((one) => [one, length({ instrument: 'gauge', measurand: one })]),
);
const ask: Written = { hold: 'ask-the-lead' };
const packWith = (is: unknown, tolerance: Written, instrument: Written = gauge, of = names): Written =>
  packOf(
    {
      readings: Object.fromEntries(of.map((one) => [one, readings[one]])),
      derived: { d: { is } },
      tolerances: { t: { of: 'd', source: 'invented', ...tolerance } },
      steps: [
        ...of.map((one) => ({ step: `read-${one}`, read: one })),
        {
          step: 'judge',
          judge: 't',
          'if-nonconforming': ask,
          ...(tolerance['rule'] === undefined ? {} : { 'if-inconclusive': ask }),
        },
      ],
    },
    { instruments: { gauge: instrument } },
  );
const guarded: Written = { rule: 'guarded-acceptance' };

type Judged = Extract<FactBody, { kind: 'judged' }>;
const used = (identity: string, more: Partial<InstrumentUsed> = {}): InstrumentUsed => ({
  kind: 'gauge',
  identity,
  ...more,
});

function judged(pack: Written, values: Written, instruments: readonly InstrumentUsed[] = [used('G-1')]) {
  const bench = new Bench(pack, { instruments });
  for (const [name, value] of Object.entries(values)) {
    const [text = '', instrument] = String(value).split(' by ');
    bench.does({ command: 'record', entry: name, value: text, ...(instrument && { instrument }) });
  }
  const fact = bench.job.facts.map((one) => one.fact).findLast((one): one is Judged => one.kind === 'judged');
  return { bench, fact, verdict: fact?.verdict };
}

describe('readings that are alike', () => {
  const spread = { spread: ['a', 'b', 'c'] };
  const others = [spread, { '-': [{ highest: ['a', 'b', 'c'] }, { lowest: ['a', 'b', 'c'] }] }];
  test.each(others)('have a difference that is no better known than that of two: %j', (is) => {
    const limit = { 'at-most': '0.001 mm', ...guarded };
    for (const values of [
      { a: '1', b: '1', c: '1' },
      { a: '1', b: '0.9999', c: '1' },
    ]) {
      const { verdict } = judged(packWith(is, limit), values);
      // 1.20 times that of two readings: 2.4·√(2·(0.0001/12 + 0.0004/3)) = 0.0404 mm.
      expect(verdict).toMatchObject({
        verdict: 'inconclusive',
        assessment: { expandedUncertainty: '0.041 mm' },
      });
    }
  });

  test('the share of the lowest in the highest is uncertain, too', () => {
    const is = { share: { of: { lowest: ['a', 'b', 'c'] }, in: { highest: ['a', 'b', 'c'] } } };
    const { verdict } = judged(packWith(is, { 'at-least': '99.9 %', ...guarded }), {
      a: '1',
      b: '1',
      c: '1',
    });
    expect(verdict).toMatchObject({
      verdict: 'inconclusive',
      assessment: { expandedUncertainty: '4.1 %' },
    });
  });
});

describe('what readings with one instrument have in common', () => {
  const stated = { ...gauge, 'common-error': '0.015 mm' };
  const of = ['a', 'b'];
  const uncertainty = (more: Partial<InstrumentUsed>, instrument: Written = stated): string | undefined => {
    const pack = packWith({ difference: ['a', 'b'] }, { 'at-most': '1 mm' }, instrument, of);
    return judged(pack, { a: '1', b: '1' }, [used('G-1', more)]).verdict?.assessment?.expandedUncertainty;
  };
  test.each<[string, string | undefined, Partial<InstrumentUsed>]>([
    // 2·√(2·(0.0001/12 + (0.0004 − 0.000225)/3))
    ['counts as the pack states it', '0.024 mm', {}],
    ['counts where the same error is stated again', '0.024 mm', { maximumPermissibleError: '0.020 mm' }],
    // 2·√(2·(0.0001/12 + 0.0001/3)), as if nothing were stated; with all in common it would be 0.0082 mm.
    ['is not known of another error', '0.019 mm', { maximumPermissibleError: '0.01 mm' }],
    // 2·√(2·(0.0001/12 + (0.0001 − 0.000064)/3))
    [
      'counts as the list states it',
      '0.013 mm',
      { maximumPermissibleError: '0.01 mm', commonError: '0.008 mm' },
    ],
  ])('%s', (_, expected, more) => {
    expect(uncertainty(more)).toBe(expected);
  });

  test('more than the error at an indication is no part of it', () => {
    const share = { ...stated, 'maximum-permissible-error': '1 % of indication' };
    // At 1 mm the error is 0.01 mm.
    expect(uncertainty({}, share)).toBe('0.019 mm');
  });

  test('more than the error is refused, in the pack and of an instrument', () => {
    const pack = packWith(
      { difference: of },
      { 'at-most': '1 mm' },
      { ...gauge, 'common-error': '0.03 mm' },
      of,
    );
    expect(faultsOf(pack).map((one) => one.pointer)).toEqual(['/instruments/gauge/common-error']);
    const share = { ...gauge, 'common-error': '0.3 mm', 'maximum-permissible-error': '1 % of indication' };
    expect(faultsOf(packWith({ difference: of }, { 'at-most': '1 mm' }, share, of))).toHaveLength(1);
    expect(() => uncertainty({ commonError: '0.03 mm' })).toThrow('not-a-number');
    expect(() => uncertainty({ maximumPermissibleError: '0.01 mm', commonError: '0.015 mm' })).toThrow(
      'not-a-number',
    );
  });
});

test('limits that cross are waited for, and the reading that they come from is named', () => {
  const pack = packOf(
    {
      readings: { a: readings['a'], b: readings['b'] },
      tolerances: { t: { of: 'b', between: [{ var: 'a' }, '3 mm'], source: 'invented' } },
      steps: [
        { step: 'read-a', read: 'a' },
        { step: 'judge', read: 'b', judge: 't', 'if-nonconforming': ask },
      ],
    },
    { instruments: { gauge } },
  );
  const { bench, fact } = judged(pack, { a: '4', b: '5' });
  expect(fact).toBeUndefined();
  const { blocked } = offers(bench.plan, bench.job);
  expect(blocked).toMatchObject([{ code: 'requirement', about: 'a' }]);
  expect(blocked[0]?.message).toContain('4 mm to 3 mm');
  bench.strike('a');
  bench.record('a', '2');
  expect(bench.job.facts.map((one) => one.fact).find((one) => one.kind === 'judged')).toMatchObject({
    kind: 'judged',
    verdict: { verdict: 'nonconforming' },
  });
});

describe('shares that no rule can go by', () => {
  const pointers = (more: Written): readonly string[] =>
    faultsOf(packWith({ difference: ['a', 'b'] }, { 'at-most': '1 mm', ...more }, gauge, ['a', 'b'])).map(
      (one) => one.pointer.replace('/procedures/main/tolerances/t/', ''),
    );
  test.each(['0 %', '50 %', '100 %', '0.00001 %'])('warn-above: %s', (share) => {
    expect(pointers({ 'warn-above': share })).toEqual(['warn-above']);
  });
  test('at-least-probability: finer than a millionth', () => {
    const rule = { rule: 'probability' };
    expect(pointers({ ...rule, 'at-least-probability': '99.99995 %' })).toEqual(['at-least-probability']);
    expect(pointers({ ...rule, 'at-least-probability': '99.9999 %' })).toEqual([]);
    expect(pointers({ 'warn-above': '49.9 %' })).toEqual([]);
  });
  test('an error of the whole indication, or more', () => {
    const pack = (error: string) =>
      faultsOf(
        packWith(
          { difference: ['a', 'b'] },
          { 'at-most': '1 mm' },
          {
            ...gauge,
            'maximum-permissible-error': error,
          },
          ['a', 'b'],
        ),
      ).map((one) => one.pointer);
    expect(pack('200 % of indication')).toEqual(['/instruments/gauge/maximum-permissible-error']);
    expect(pack('99 % of indication')).toEqual([]);
  });
});

describe('what is advised', () => {
  const fine = used('F-1', { resolution: '0.001 mm', maximumPermissibleError: '0.002 mm' });
  const single = (more: Written): Written =>
    packOf(
      {
        readings: { a: readings['a'] },
        tolerances: { t: limits('a', more) },
        steps: [
          {
            step: 'judge',
            read: 'a',
            judge: 't',
            'if-nonconforming': ask,
            ...(more['rule'] === undefined ? {} : { 'if-inconclusive': ask }),
          },
        ],
      },
      { instruments: { gauge } },
    );
  const advice = (pack: Written, values: Written, instruments: readonly InstrumentUsed[]): string => {
    const { bench, fact } = judged(pack, values, instruments);
    if (fact === undefined) throw new Error('nothing was judged');
    return adviceOn(bench.plan, bench.job, fact) ?? '';
  };

  test('where the reading lies on the limit, a finer instrument may still tell', () => {
    for (const rule of [{}, guarded]) {
      expect(advice(single(rule), { a: '2.00' }, [used('G-1')])).toMatch(
        /finer steps: as read it lies on the limit/,
      );
      expect(advice(single(rule), { a: '2.00 by G-1' }, [fine, used('G-1')])).toMatch(
        /read again with F-1\.$/,
      );
    }
    // Of the finest of all there is nothing finer.
    expect(advice(single({}), { a: '2.000 by F-1' }, [used('G-1'), fine])).toMatch(/finer steps/);
  });

  test('of two readings, the one that is uncertain is named', () => {
    const pack = packWith({ difference: ['a', 'b'] }, { 'at-most': '1 mm' }, gauge, ['a', 'b']);
    const values = { a: '2.005 by G-1', b: '1.01 by F-1' };
    expect(advice(pack, values, [used('G-1'), fine])).toMatch(/read a again with F-1\.$/);
    const finest = used('F-1', { resolution: '0.008 mm', maximumPermissibleError: '0.012 mm' });
    expect(advice(pack, values, [used('G-1'), finest])).toMatch(/most of it comes from a\.$/);
  });

  test('a guarded rule says a doubt on the side that it does not guard', () => {
    const outside = judged(single(guarded), { a: '2.005' });
    expect(outside.verdict).toMatchObject({ verdict: 'nonconforming', assessment: { doubtful: true } });
    expect(advice(single(guarded), { a: '2.005' }, [used('G-1')])).toMatch(
      /^Outside its limits as read, but/,
    );
    expect(judged(single(guarded), { a: '2.04' }).verdict?.assessment?.doubtful).toBeUndefined();
    const rejecting = { rule: 'guarded-rejection' };
    expect(judged(single(rejecting), { a: '1.995' }).verdict?.assessment?.doubtful).toBe(true);
  });

  test('where no value would be accepted it is not called too close', () => {
    const wide = used('C-1', { maximumPermissibleError: '1.5 mm' });
    expect(advice(single(guarded), { a: '1.50' }, [wide])).toMatch(
      /^Too coarse for these limits: by C-1, good to ± 1.8 mm here, no value at all would be accepted/,
    );
  });
});

describe('before anything is read', () => {
  const one = (tolerance: Written, instrument: Written = gauge): ReturnType<typeof suitability>[number] => {
    const pack = packOf(
      {
        readings: { a: readings['a'] },
        tolerances: { t: { of: 'a', source: 'invented', ...tolerance } },
        steps: [
          {
            step: 'judge',
            read: 'a',
            judge: 't',
            'if-nonconforming': ask,
            ...(tolerance['rule'] === undefined ? {} : { 'if-inconclusive': ask }),
          },
        ],
      },
      { instruments: { gauge: instrument } },
    );
    const [found] = suitability(planOf(pack));
    if (found === undefined) throw new Error('no tolerance');
    return found;
  };

  test('a limit off the scale is judged with what the scale shows at its end', () => {
    expect(one({ 'at-most': '12 mm' })).toMatchObject({
      sufficiency: 'one-limit',
      expandedUncertainty: '0.024 mm',
    });
  });

  test('with one limit an instrument cannot judge where not even the best plausible value would be accepted', () => {
    const wide = { ...gauge, 'maximum-permissible-error': '20 mm' };
    // U = 2·20/√3 = 23.1 mm; 0 mm is plausible, 5 mm inside.
    expect(one({ 'at-most': '5 mm', ...guarded }, wide).sufficiency).toBe('cannot-judge');
    expect(one({ 'at-most': '5 mm' }, wide).sufficiency).toBe('one-limit');
    expect(
      one({ 'at-most': '5 mm', ...guarded }, { ...gauge, 'maximum-permissible-error': '4 mm' }).sufficiency,
    ).toBe('one-limit');
  });

  test('a divisor of nothing in the middle of what is plausible is no missing error', () => {
    const around = length({ instrument: 'gauge', plausible: ['-5 mm', '5 mm'] });
    const pack = packOf(
      {
        readings: { a: around, b: around },
        derived: { d: { is: { share: { of: 'a', in: 'b' } } } },
        tolerances: { t: { of: 'd', 'at-least': '80 %', source: 'invented' } },
        steps: [{ step: 'judge', read: ['a', 'b'], judge: 't', 'if-nonconforming': ask }],
      },
      { instruments: { gauge } },
    );
    expect(suitability(planOf(pack))[0]?.sufficiency).toBe('one-limit');
  });

  test('the share over readings that are expected alike has an uncertainty', () => {
    const is = { share: { of: { lowest: names }, in: { highest: names } } };
    const [found] = suitability(planOf(packWith(is, { 'at-least': '80 %' })));
    expect(found?.expandedUncertainty).toMatch(/^0\.\d+ %$/);
  });
});

describe('names that look alike', () => {
  const pack = packWith({ difference: ['a', 'b'] }, { 'at-most': '1 mm' }, gauge, ['a', 'b']);
  const persons = (person: string) => [
    { role: 'technician', person: 'technician A' },
    { role: 'lead', person },
    { role: 'second', person: 'second C' },
  ];
  test('of two persons are refused, and of one person are one', () => {
    // The last letter of the second is Cyrillic (U+0410).
    for (const person of ['Technician a', 'technician \u0410'])
      expect(() => new Bench(pack, { persons: persons(person) })).toThrow('look like one name');
    const bench = new Bench(pack, { persons: persons('lead B') });
    bench.refuses({ command: 'join', role: 'lead', person: 'LEAD B' }, 'same-person');
    bench.does({ command: 'join', role: 'second', person: 'lead  B' });
  });

  test('of two instruments are refused, and so are signs that cannot be seen', () => {
    expect(() => new Bench(pack, { instruments: [used('G-1'), used('g-1')] })).toThrow('other-instrument');
    expect(() => new Bench(pack, { instruments: [used('G-\u200b1')] })).toThrow('wrong-shape');
    const bench = new Bench(pack, { instruments: [used('G-1')] });
    bench.refuses({ command: 'equip', instrument: used('g-1') }, 'other-instrument');
    bench.does({ command: 'equip', instrument: used('G-1') });
  });
});
