import { describe, expect, test } from 'vitest';
import { type InstrumentUsed, start } from '../../src/index.ts';
import { length, limits, packOf, planOf } from '../small-pack.ts';
import { Bench, request, technician } from './bench.ts';

const pack = packOf(
  {
    readings: { gap: length({ instrument: 'gauge', plausible: ['0 mm', '50 mm'] }) },
    tolerances: { fit: limits('gap') },
    steps: [{ step: 'measure', read: 'gap', judge: 'fit', 'if-nonconforming': { hold: 'ask-the-lead' } }],
  },
  {
    instruments: {
      gauge: {
        title: 'Gauge',
        quantity: 'length',
        range: ['0 mm', '20 mm'],
        resolution: '0.1 mm',
        calibrated: 'yes',
      },
    },
  },
);
const gauge = (more: Partial<Record<keyof InstrumentUsed, unknown>> = {}): InstrumentUsed =>
  ({ kind: 'gauge', identity: 'G-1', due: '2099-12-31', ...more }) as InstrumentUsed;
const startWith = (used: InstrumentUsed, at = '2027-01-04T08:00:00Z') =>
  start(planOf(pack), { ...request, instruments: [used] }, { at, by: technician, id: 'a' });

describe('an instrument', () => {
  test.each(['31.12.2020', 'zzzz', 'never', '2026-13-45', '2099-99-99', null, ''])(
    'due %j proves nothing',
    (due) => {
      expect(startWith(gauge({ due })).refusals?.map((one) => one.code)).toEqual(['instrument-overdue']);
    },
  );

  test.each(['', '0', '01/02/2028', '2027-01-04', null, undefined])('no job starts at %j', (at) => {
    const answer = start(
      planOf(pack),
      { ...request, instruments: [gauge()] },
      {
        at: at as string,
        by: technician,
        id: 'a',
      },
    );
    expect(answer.refusals?.map((one) => one.code)).toEqual(['bad-time']);
  });

  test('its own range narrows that of its kind, and never widens it', () => {
    const wide = new Bench(pack, { instruments: [gauge({ range: ['0 mm', '999 mm'] })] });
    wide.refuses({ command: 'record', entry: 'gap', value: '25' }, 'beyond-instrument');
    const narrow = new Bench(pack, { instruments: [gauge({ range: ['1 mm', '1.2 mm'] })] });
    narrow.refuses({ command: 'record', entry: 'gap', value: '1.5' }, 'beyond-instrument');
    narrow.does({ command: 'record', entry: 'gap', value: '1.1' });
  });

  test.each([
    { range: ['9 mm', '1 mm'] },
    { range: ['1 mm'] },
    { resolution: '-5 mm' },
    { resolution: '0 mm' },
  ])('%j cannot be right', (more) => {
    expect(startWith(gauge(more)).refusals?.map((one) => one.code)).toEqual(['not-a-number']);
  });

  test('a command without a time is refused, and changes nothing', () => {
    const bench = new Bench(pack, { instruments: [gauge()] });
    bench.refuses({ command: 'record', entry: 'gap', value: '1.5' }, 'bad-time', { at: 'x' });
  });
});

test('the longest number that can be typed is kept and read back', () => {
  const bench = new Bench(packOf({ readings: { gap: length() }, steps: [{ step: 'measure', read: 'gap' }] }));
  const value = `1.${'0'.repeat(61)}1`;
  bench.does({ command: 'record', entry: 'gap', value });
  expect(bench.job.taken[0]).toMatchObject({ text: value, quantity: { digits: value } });
});
