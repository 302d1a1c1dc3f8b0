import { describe, expect, test } from 'vitest';
import { adviceOn, type FactBody, type InstrumentUsed } from '../../src/index.ts';
import { faultsOf, length, limits, packOf, type Written } from '../small-pack.ts';
import { Bench, lead } from './bench.ts';

const caliper: Written = {
  title: 'Caliper',
  quantity: 'length',
  range: ['0 mm', '9 mm'],
  resolution: '0.01 mm',
  'maximum-permissible-error': '0.03 mm',
  'if-overdue': { concession: 'lead' },
};
const step = {
  step: 'measure',
  read: 'gap',
  judge: 'fit',
  'if-nonconforming': { hold: 'ask-the-lead' },
};
const read = { ...step, 'if-inconclusive': { hold: 'ask-the-lead' } };
const packWith = (rule: Written, measure: Written = read, instrument = caliper): Written =>
  packOf(
    {
      readings: { gap: length({ instrument: 'caliper' }) },
      tolerances: { fit: limits('gap', rule) },
      steps: [measure],
    },
    { instruments: { caliper: instrument } },
  );
const guarded = { rule: 'guarded-acceptance', 'guard-band': '1 × U' };
const coarse: InstrumentUsed = { kind: 'caliper', identity: 'C-1' };
const fine: InstrumentUsed = {
  kind: 'caliper',
  identity: 'M-1',
  resolution: '0.001 mm',
  maximumPermissibleError: '0.004 mm',
};

type Judged = Extract<FactBody, { kind: 'judged' }>;
const judgedIn = (facts: readonly FactBody[]): Judged => {
  const found = facts.find((one) => one.kind === 'judged');
  if (found?.kind !== 'judged') throw new Error('nothing was judged');
  return found;
};

describe('one reading, 1.98 mm against 1.0 to 2.0 mm with a guard band of 1 × U', () => {
  test('by the caliper it is inconclusive, and the record says why', () => {
    const bench = new Bench(packWith(guarded), { instruments: [coarse] });
    const fact = judgedIn(bench.record('gap', '1.98'));
    expect(fact.verdict).toMatchObject({
      verdict: 'inconclusive',
      because: 'inside-guard-band',
      assessment: {
        rule: 'guarded-acceptance 1 × U',
        standardUncertainty: '0.018 mm',
        expandedUncertainty: '0.036 mm',
        coverageFactor: '2',
        // 1.0 mm and 2.0 mm moved by U = 0.0355 mm, rounded to the inside.
        acceptance: '1.036 mm to 1.964 mm',
        probability: '87.3 %',
        needed: '0.02 mm',
      },
    });
    expect(bench.hold).toBe('ask-the-lead');
    expect(adviceOn(bench.plan, bench.job, fact)).toBe(
      'Too close to the limit for C-1, good to ± 0.036 mm here: read again with an instrument that is good to ± 0.02 mm.',
    );
  });

  test('what is accepted is rounded to the inside, with digits that tell it from the limit', () => {
    const pack = packOf(
      {
        readings: { gap: length({ instrument: 'caliper', unit: 'm', plausible: ['0 m', '2 m'] }) },
        tolerances: { fit: { of: 'gap', 'at-most': '1 m', source: 'invented', ...guarded } },
        steps: [read],
      },
      {
        instruments: {
          caliper: { ...caliper, range: ['0 m', '2 m'], 'maximum-permissible-error': '1.1 mm' },
        },
      },
    );
    const bench = new Bench(pack, { instruments: [coarse] });
    const { verdict } = judgedIn(bench.record('gap', '0.9'));
    // U = 2 √(0.01²/12 + 1.1²/3) mm = 1.2702 mm: the true edge is 0.9987298 m.
    expect(verdict.assessment?.acceptance).toBe('up to 0.9987 m');
  });

  test('by the micrometer it conforms', () => {
    const bench = new Bench(packWith(guarded), { instruments: [fine] });
    expect(judgedIn(bench.record('gap', '1.98')).verdict.verdict).toBe('conforming');
  });

  test('where the micrometer is in the job too, the sentence names it', () => {
    const bench = new Bench(packWith(guarded), { instruments: [fine, coarse] });
    const fact = judgedIn(bench.record('gap', '1.98'));
    expect(adviceOn(bench.plan, bench.job, fact)).toMatch(/read again with M-1\.$/);
  });

  test('by the simple rule it conforms, with a warning by the caliper only', () => {
    for (const [used, doubtful] of [
      [coarse, true],
      [fine, undefined],
    ] as const) {
      const bench = new Bench(packWith({}), { instruments: [used] });
      const { verdict } = judgedIn(bench.record('gap', '1.98'));
      expect([verdict.verdict, verdict.assessment?.doubtful]).toEqual(['conforming', doubtful]);
    }
  });

  test('where no error is stated a guarded rule decides nothing', () => {
    const { 'maximum-permissible-error': _, ...silent } = caliper;
    const bench = new Bench(packWith(guarded, read, silent), { instruments: [coarse] });
    expect(judgedIn(bench.record('gap', '1.5')).verdict).toMatchObject({
      verdict: 'inconclusive',
      because: 'uncertainty-unknown',
    });
  });
});

test('a rule that may be inconclusive needs a remedy for that', () => {
  expect(faultsOf(packWith(guarded, step)).map((one) => one.code)).toEqual(['no-remedy']);
  expect(faultsOf(packWith({}, step))).toEqual([]);
});

describe('an instrument whose calibration has run out', () => {
  const late: InstrumentUsed = { ...coarse, due: '2026-12-31' };
  const reading = { command: 'record', entry: 'gap', value: '1.5' } as const;
  const allow = {
    command: 'allow',
    instrument: 'C-1',
    because: 'instrument-overdue',
    reason: 'Compared with M-1.',
  } as const;

  test('is refused until the lead allows it, and the lead does not use it', () => {
    const bench = new Bench(packWith({}), { instruments: [late] });
    bench.refuses(reading, 'instrument-overdue');
    bench.refuses(allow, 'wrong-role');
    bench.refuses({ ...allow, reason: ' ' }, 'empty', { by: lead });
    bench.refuses({ ...allow, because: 'beyond-instrument' }, 'no-concession', { by: lead });
    bench.refuses({ ...allow, instrument: 'C-9' }, 'instrument-missing', { by: lead });
    bench.does(allow, { by: lead });
    bench.refuses(reading, 'same-person', { by: lead });
    expect(judgedIn(bench.does(reading)).verdict.verdict).toBe('conforming');
  });

  test('is refused for good where the pack gives no concession', () => {
    const { 'if-overdue': _, ...strict } = caliper;
    expect(() => new Bench(packWith({}, read, strict), { instruments: [late] })).toThrow(
      'instrument-overdue',
    );
  });
});
