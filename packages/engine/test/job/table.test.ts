import { describe, expect, test } from 'vitest';
import { offers } from '../../src/index.ts';
import { packOf, type Written } from '../small-pack.ts';
import { Bench } from './bench.ts';

const tables: Written = {
  'leak-down': {
    title: 'Leak-down time by temperature',
    of: 'temperature',
    gives: 'time',
    points: [
      ['20 °C', '12 s'],
      ['40 °C', '8 s'],
    ],
    source: 'invented',
  },
};
const readings: Written = {
  oil: { measurand: 'Oil temperature', quantity: 'temperature', unit: '°C', plausible: ['0 °C', '90 °C'] },
  time: { measurand: 'Leak-down time', quantity: 'time', unit: 's', plausible: ['0 s', '90 s'] },
};
const table: Written = { table: { of: 'leak-down', at: 'oil' } };

const judged = (): Bench =>
  new Bench(
    packOf(
      {
        readings,
        derived: { longer: { is: { difference: ['time', table] } } },
        tolerances: { 'time-limits': { of: 'longer', 'at-least': '0 s', source: 'invented' } },
        steps: [
          {
            step: 'measure',
            read: ['oil', 'time'],
            judge: 'time-limits',
            'if-nonconforming': { hold: 'ask-the-lead' },
          },
        ],
      },
      { tables },
    ),
  );
const blocked = ({ plan, job }: Bench) => offers(plan, job).blocked;

describe('a table in a job', () => {
  test('is looked up at the reading: 10 s at 30 °C', () => {
    const bench = judged();
    bench.record('oil', '30');
    const facts = bench.record('time', '10.5');
    expect(facts[1]).toMatchObject({ kind: 'judged', verdict: { verdict: 'conforming', value: '0.5 s' } });
    bench.closes();
  });

  test('leaves a verdict waiting outside of it, says why, and goes on when the reading is struck', () => {
    const bench = judged();
    bench.record('oil', '45.5');
    const facts = bench.record('time', '10.5');
    expect(facts.map((one) => one.kind)).toEqual(['reading']);
    expect(blocked(bench)).toEqual([
      {
        code: 'requirement',
        message:
          'time limits cannot be judged: 45.5 °C lies outside the table Leak-down time by temperature, 20 °C to 40 °C.',
        remedy:
          'Strike oil, and take it again inside the table. Where that cannot be, leave a note and close the job as unfinished.',
        about: 'oil',
      },
    ]);
    bench.strike('oil');
    const again = bench.record('oil', '40');
    expect(again.map((one) => one.kind)).toEqual(['reading', 'judged']);
    bench.closes();
  });

  test('leaves a condition unknown outside of it', () => {
    const bench = new Bench(
      packOf(
        {
          readings,
          steps: [
            { step: 'warm', read: 'oil' },
            { step: 'wait', do: 'Wait.', 'only-if': { logic: { '>': [table, '10 s'] } } },
          ],
        },
        { tables },
      ),
    );
    bench.record('oil', '10');
    expect(blocked(bench)).toMatchObject([
      {
        message: expect.stringContaining('10 °C lies outside the table Leak-down time by temperature'),
        remedy: expect.stringMatching(/^Strike oil, and take it again inside the table/),
      },
    ]);
    bench.strike('oil');
    bench.record('oil', '25');
    bench.done('wait');
    bench.closes();
  });
});
