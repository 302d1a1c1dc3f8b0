import { describe, expect, test } from 'vitest';
import { offers } from '../../src/index.ts';
import { replay } from '../../src/replay.ts';
import { faultsOf, length, limits, packOf, type Written } from '../small-pack.ts';
import { Bench } from './bench.ts';

const speed: Written = {
  measurand: 'Engine speed',
  quantity: 'rotational-speed',
  unit: 'r/min',
  plausible: ['0 r/min', '3000 r/min'],
};
const procedure = (gap: Written = {}, more: Written = {}): Written => ({
  readings: { gap: length({ throughout: ['speed-limits'], ...gap }), speed },
  tolerances: {
    fit: limits('gap'),
    'speed-limits': { of: 'speed', nominal: '1500 r/min', deviation: '25 r/min', source: 's' },
  },
  steps: [{ step: 'measure', read: 'gap', judge: 'fit', 'if-nonconforming': { hold: 'ask-the-lead' } }],
  ...more,
});
const says = 'Engine speed: 1500 r/min ± 25 r/min';
const record = { command: 'record', entry: 'gap', value: '1.5' } as const;

describe('limits that hold throughout a reading', () => {
  test('are offered with it, have to be confirmed, and are recorded', () => {
    const bench = new Bench(packOf(procedure()));
    const [offer] = offers(bench.plan, bench.job).offers;
    expect(offer).toMatchObject({ offer: 'record', throughout: [says] });
    bench.refuses(record, 'not-held');
    bench.refuses({ ...record, held: false }, 'not-held');
    expect(() => bench.does(record)).toThrow(says);
    const facts = bench.does({ ...record, held: true });
    expect(facts[0]).toMatchObject({ kind: 'reading', throughout: [says] });
    expect(facts[1]).toMatchObject({ kind: 'judged', verdict: { verdict: 'conforming' } });
    bench.closes();
  });

  test('are asked for once more when the reading is struck, and with each repeat', () => {
    const bench = new Bench(packOf(procedure({ repeats: { times: '2' } })));
    bench.does({ ...record, held: true });
    bench.refuses(record, 'not-held');
    bench.does({ ...record, held: true });
    bench.strike('gap');
    bench.refuses(record, 'not-held');
    bench.does({ ...record, held: true });
    bench.does({ ...record, held: true });
    bench.closes();
  });

  test('are told after what is wrong with the value itself', () => {
    const bench = new Bench(packOf(procedure()));
    bench.refuses({ ...record, value: '11' }, 'implausible');
    bench.refuses({ ...record, value: '' }, 'empty');
  });

  test('are part of the record: a fact without them, or with others, is none of this job', () => {
    const bench = new Bench(packOf(procedure()));
    bench.does({ ...record, held: true });
    for (const throughout of [undefined, [], ['Engine speed: 1400 r/min'], [says, says]]) {
      const facts = bench.facts.map((one) =>
        one.fact.kind === 'reading' ? { ...one, fact: { ...one.fact, throughout } } : one,
      );
      expect(replay(bench.plan, JSON.parse(JSON.stringify(facts))).fault?.message).toContain(
        'throughout gap',
      );
    }
  });

  test('make no difference to a reading that has none', () => {
    const bench = new Bench(packOf(procedure({ throughout: undefined })));
    expect(bench.does(record)[0]).not.toHaveProperty('throughout');
  });
});

describe('what is wrong with them is told', () => {
  const codes = (gap: Written, more: Written = {}): readonly string[] =>
    faultsOf(JSON.parse(JSON.stringify(packOf(procedure(gap, more))))).map(
      (one) => `${one.code} ${one.pointer}`,
    );
  const at = '/procedures/main/readings/gap/throughout/0';

  test('a tolerance that is not there', () => {
    expect(codes({ throughout: ['speed-limit'] })).toEqual([`unknown-name ${at}`]);
  });

  test('the limits of the reading itself', () => {
    expect(codes({ throughout: ['fit'] })).toEqual([`wrong-form ${at}`]);
  });

  test('a value that is worked out, and limits of another kind than their reading', () => {
    const derived = { twice: { is: { '*': [2, { var: 'speed' }] } } };
    const tolerances = (limit: Written): Written => ({
      fit: limits('gap'),
      'speed-limits': { source: 's', ...limit },
    });
    expect(codes({}, { derived, tolerances: tolerances({ of: 'twice', 'at-most': '9 r/min' }) })).toEqual([
      `wrong-form ${at}`,
    ]);
    expect(codes({}, { tolerances: tolerances({ of: 'speed', 'at-most': '9 bar' }) })).toEqual([
      'wrong-quantity /procedures/main/tolerances/speed-limits/at-most',
    ]);
    expect(codes({}, { tolerances: tolerances({ of: 'speed', between: ['9 r/min', '8 r/min'] }) })).toEqual([
      'reversed-pair /procedures/main/tolerances/speed-limits/between',
    ]);
  });
});
