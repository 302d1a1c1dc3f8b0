import { validate } from '@ferrule/engine/validate';
import { describe, expect, it } from 'vitest';
import { sheet } from '../src/index.ts';
import { planOf, textOf } from './packs.ts';

/** One gap of 0.20 mm to 0.30 mm by a gauge with a resolution of 0.01 mm; what is not said is invented. */
function sheetWith(
  tolerance: Readonly<Record<string, unknown>>,
  instrument: Readonly<Record<string, unknown>> = { 'maximum-permissible-error': '0.02 mm' },
): string {
  const { pack, diagnostics } = validate({
    format: '1',
    pack: 'gap',
    revision: '1.0.0',
    title: 'Gap',
    roles: { lead: { title: 'Lead' } },
    variants: { one: { title: 'One' } },
    instruments: {
      gauge: {
        title: 'Gauge',
        quantity: 'length',
        range: ['0 mm', '1 mm'],
        resolution: '0.01 mm',
        ...instrument,
      },
      wrench: {
        title: 'Wrench',
        quantity: 'torque',
        range: ['8 N·m', '60 N·m'],
        resolution: '0.5 N·m',
        'torque-class': { type: 'II', class: 'A' },
      },
    },
    joints: { cover: { title: 'Cover' } },
    holds: { stop: { text: 'Stop.', release: [{ concession: 'lead' }] } },
    procedures: {
      measure: {
        title: 'Measure',
        readings: {
          gap: {
            measurand: 'Gap',
            quantity: 'length',
            unit: 'mm',
            instrument: 'gauge',
            plausible: ['0 mm', '1 mm'],
          },
        },
        derived: { squared: { is: { '*': [{ '/': [{ var: 'gap' }, '1 mm'] }, { var: 'gap' }] } } },
        tolerances: {
          limits: {
            of: 'gap',
            ...('at-most' in tolerance ? {} : { between: ['0.20 mm', '0.30 mm'] }),
            source: 'invented',
            ...tolerance,
          },
        },
        steps: [
          {
            step: 'gap',
            do: 'Measure.',
            read: 'gap',
            judge: 'limits',
            'if-nonconforming': { hold: 'stop' },
            ...('rule' in tolerance ? { 'if-inconclusive': { hold: 'stop' } } : {}),
          },
          { step: 'cover', do: 'Tighten.', tighten: { joint: 'cover', stages: ['20 N·m'], with: 'wrench' } },
        ],
      },
    },
  });
  if (pack === undefined) throw new Error(JSON.stringify(diagnostics));
  return textOf(sheet(planOf(pack, 'measure', 'one'), pack, { digest: 'sha256:0' }));
}

describe('a decision rule on paper', () => {
  /* U = 2 √(0.01²/12 + 0.02²/3) mm = 0.02380 mm (JCGM 100:2008, F.2.2.1 and 4.3.7), rounded up to 0.024 mm; the limits with
     the band taken off or put on. Computed. */
  it.each([
    [
      { rule: 'guarded-acceptance' },
      'Rule: a guard band of 1 × U, with U = 0.024 mm of the stated instrument. Accept 0.2240 mm to 0.2760 mm. Between that and the limits: inconclusive.',
    ],
    [
      { rule: 'guarded-acceptance', 'guard-band': '2 × U' },
      'a guard band of 2 × U, with U = 0.024 mm of the stated instrument. Accept 0.2480 mm to 0.2520 mm.',
    ],
    [{ rule: 'guarded-acceptance', 'guard-band': '3 × U' }, 'Accept nothing. Between'],
    [
      { rule: 'guarded-rejection' },
      'U = 0.024 mm of the stated instrument. Reject below 0.1760 mm and above 0.3240 mm. Between that and the limits: inconclusive.',
    ],
    [
      { rule: 'guarded-both' },
      'Accept 0.2240 mm to 0.2760 mm. Reject below 0.1760 mm and above 0.3240 mm. Between',
    ],
    // 1.645 u (one-sided 95 %, JCGM 106:2012, table 1) = 1.645 × 0.012 mm = 0.0197 mm. Computed from the published quantile.
    [
      { rule: 'probability', 'at-least-probability': '95 %' },
      'Rule: decided where it is right with at least 95 %, with U = 0.024 mm of the stated instrument. Accept about 0.2198 mm to 0.2802 mm.',
    ],
  ])('%j says where to accept and where to reject', (tolerance, expected) => {
    expect(sheetWith(tolerance)).toContain(expected);
  });

  it('rounds what is accepted to the inside, and shows what tells it from the limit', () => {
    const gauge = { range: ['0 mm', '50 mm'], 'maximum-permissible-error': '0.02 mm' };
    // 20 mm − 0.024 mm, in metres: to the nearest two digits more it would be the limit itself.
    expect(sheetWith({ 'at-most': '0.02 m', rule: 'guarded-acceptance' }, gauge)).toContain(
      'Accept up to 0.019976 m.',
    );
  });

  it('has a box for what a rule leaves open, and none where the limits decide', () => {
    expect(sheetWith({ rule: 'guarded-acceptance' })).toMatch(/mm C X \? /);
    expect(sheetWith({})).toMatch(/mm C X (?!\?)/);
  });

  it('asks for the uncertainty of the instrument in use where none is stated', () => {
    expect(sheetWith({ rule: 'guarded-acceptance' }, {})).toContain(
      'no error of the stated instrument is known, so find out U of the one in use. Nearer to a limit than that: inconclusive.',
    );
  });

  it('gives no numbers where the uncertainty depends on what is read', () => {
    const text = sheetWith({ of: 'squared', 'at-most': '0.30 mm', rule: 'guarded-acceptance' });
    expect(text).toContain('U depends on what is read');
    expect(text).not.toContain('Accept up to');
  });

  it('is not spoken of where the limits decide', () => {
    expect(sheetWith({})).not.toContain('Rule:');
  });
});

describe('the instruments on paper', () => {
  it('say how far each may be off: by its error, its certificate or its class', () => {
    const text = sheetWith(
      {},
      {
        'maximum-permissible-error': '0.02 mm',
        calibration: { 'expanded-uncertainty': '0.004 mm', 'coverage-factor': '2' },
      },
    );
    expect(text).toContain('Resolution May be off by Identity Calibration due');
    expect(text).toContain('± 0.02 mm; certificate: ± 0.004 mm, k = 2');
    // Up to 10 N·m 6 %, above that 4 %: ISO 6789-1:2017, 5.1.5, read in a review of the standard.
    expect(text).toContain('± 4 % of indication (ISO 6789, type II, class A)');
    expect(sheetWith({}, {})).toContain('not stated');
  });
});
