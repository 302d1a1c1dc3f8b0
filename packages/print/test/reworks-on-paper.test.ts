import { validate } from '@ferrule/engine/validate';
import { describe, expect, it } from 'vitest';
import { sheet } from '../src/index.ts';
import { openPack, planOf, textOf } from './packs.ts';

/** A gap that is set by turning, and a hold whose way on has a reading of its own; everything is invented. */
function sheetOfGap(): string {
  const length = (measurand: string) => ({
    ...{ measurand, quantity: 'length', unit: 'mm', instrument: 'gauge', plausible: ['0 mm', '9 mm'] },
  });
  const hazard = { signal: 'warning', text: 'The spring flies off. Keep a hand on it, and your face away.' };
  const { pack, diagnostics } = validate({
    ...{ format: '1', pack: 'gap', revision: '1.0.0', title: 'Gap', variants: { one: { title: 'One' } } },
    roles: { lead: { title: 'Lead' } },
    hazards: { spring: hazard },
    instruments: {
      gauge: { title: 'Gauge', quantity: 'length', range: ['0 mm', '9 mm'], resolution: '0.01 mm' },
    },
    holds: {
      ask: {
        text: 'Outside.',
        release: [
          {
            ...{ by: 'lead', times: '1', 'resume-at': 'judge' },
            rework: [
              { step: 'renew', hazards: ['spring'], do: 'Renew the spring.' },
              {
                ...{ step: 'free', do: 'Measure the new spring.', read: 'spring', judge: 'spring-limits' },
                'if-nonconforming': { hold: 'stop' },
              },
            ],
          },
        ],
      },
      stop: { text: 'Stop.', release: [{ concession: 'lead' }] },
    },
    procedures: {
      measure: {
        title: 'Measure',
        readings: {
          before: length('Before'),
          after: length('After'),
          spring: length('Length of the spring'),
        },
        derived: { wear: { is: { '-': [{ var: 'before' }, { var: 'after' }] } } },
        tolerances: {
          'wear-limits': { of: 'wear', between: ['0.20 mm', '0.30 mm'], source: 'invented' },
          'spring-limits': { of: 'spring', between: ['4.00 mm', '5.00 mm'], source: 'invented' },
        },
        steps: [
          { step: 'take', hazards: ['spring'], do: 'Take the spring out.' },
          {
            ...{ step: 'judge', do: 'Measure both.', read: ['before', 'after'], judge: 'wear-limits' },
            'if-nonconforming': {
              rework: [{ step: 'turn', hazards: ['spring'], do: 'Turn the screw.' }],
              ...{ 'resume-at': 'judge', attempts: '3', exhausted: 'ask' },
            },
          },
        ],
      },
    },
  });
  if (pack === undefined) throw new Error(JSON.stringify(diagnostics));
  return sheet(planOf(pack, 'measure', 'one'), pack, { digest: 'sha256:0' });
}

describe('a rework on paper', () => {
  const html = sheetOfGap();
  const text = textOf(html);

  it('of one step stands where it is needed, with a box for each time', () => {
    expect(text).toMatch(
      /If nonconforming ?, at most 2 times: WARNING The spring flies off\. 1 2 Turn the screw\. Then again from step 2\. After that: hold H1\./,
    );
  });

  it('has the boxes for again with one for the value that is worked out', () => {
    expect(text).toContain(
      'before mm after mm wear mm C X again before mm after mm wear mm C X again before mm after mm wear mm C X',
    );
  });

  it('of several steps goes by its letter, and what is judged in it has its limits and its boxes', () => {
    expect(text).toContain('rework by Lead, once: rework A . Then again from step 2.');
    const [list = ''] = /<table class="steps rework[\s\S]*?<\/table>/.exec(html) ?? [];
    expect(textOf(list)).toMatch(
      /Rework A for hold H1 1 A1 WARNING The spring flies off\. Renew the spring\. A2 Measure the new spring\. Read \(spring\): Length of the spring, with Gauge Spring limits: 4\.00 mm to 5\.00 mm .*If nonconforming: hold H2\. mm C X/,
    );
  });

  it('is in the lists of what is used, by the numbers of its steps', () => {
    expect(text).toContain('Gauge 2, A2');
  });
});

it('a loop in a rework is one list, with a box for each of its passes', async () => {
  const { pack, digest } = await openPack('marram-cylinder-balance');
  const [list = ''] =
    /<table class="steps rework[\s\S]*?<\/table>/.exec(
      sheet(planOf(pack, 'cranking-compression', 'marram-three'), pack, { digest }),
    ) ?? [];
  expect(textOf(list)).toMatch(
    /For each bore N, one after the other: 1, 2, 3 A1 Lay a new washer into bore N ?\. 1 2 3 A2/,
  );
  expect(textOf(list).match(/new washer/g)).toHaveLength(1);
});
