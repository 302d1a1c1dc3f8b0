import { describe, expect, test } from 'vitest';
import { decide, type InstrumentUsed, type RefusalCode, refusalCodes, start } from '../../src/index.ts';
import { holds, length, limits, packOf, planOf, type Written } from '../small-pack.ts';
import { Bench, lead, request, second, technician } from './bench.ts';

const sections: Written = {
  hazards: { heat: { signal: 'danger', text: 'Hot.', acknowledge: 'yes' } },
  conditions: { cold: { text: 'The engine is cold.' }, dry: { text: 'It is dry.' } },
  joints: { clamp: { title: 'Clamp' } },
  fields: {
    hours: { title: 'Hours run', shape: '99999', longest: '8' },
    complaint: { title: 'Complaint', longest: '10' },
  },
  parts: { pump: { title: 'Pump', per: 'bore', identity: '"MU"-999' } },
  instruments: {
    gauge: {
      title: 'Gauge',
      quantity: 'length',
      range: ['0 mm', '20 mm'],
      resolution: '0.01 mm',
      calibrated: 'yes',
    },
    wrench: {
      title: 'Wrench',
      quantity: 'torque',
      range: ['5 N·m', '50 N·m'],
      resolution: '0.5 N·m',
      calibrated: 'yes',
    },
  },
  states: {
    pin: { is: ['in', 'out'], starts: 'in', ends: 'out' },
    cover: { is: ['on', 'off'], starts: 'on', ends: ['on', 'off'] },
  },
  interlocks: [
    { law: 'pin-out-to-turn', says: 'The pin is in.', while: { pin: 'in' }, forbid: 'turn-crank' },
    { law: 'never-both', says: 'Never both.', never: { pin: 'out', cover: 'off' } },
  ],
};
const gauge: InstrumentUsed = { kind: 'gauge', identity: 'DG-1', due: '2027-06-30' };
const wrench: InstrumentUsed = { kind: 'wrench', identity: 'TW-1', due: '2027-06-30' };
const instruments = [gauge, wrench];
const bench = (procedure: Written, own: Written = {}): Bench =>
  new Bench(packOf(procedure, { ...sections, ...own }), { instruments });
const anyEnd = { ends: { pin: ['in', 'out'] } };

const covered = new Set<RefusalCode>();
/** A refusal, and that the same job then still takes what is right. */
function refused(
  job: Bench,
  code: RefusalCode,
  wrong: Parameters<Bench['refuses']>[0],
  said: Parameters<Bench['refuses']>[2] = {},
): void {
  covered.add(code);
  job.refuses(wrong, code, said);
}

const measure: Written = {
  readings: { gap: length({ instrument: 'gauge' }) },
  ...anyEnd,
  steps: [{ step: 'measure', read: 'gap' }],
};

describe('starting', () => {
  const needs = {
    preliminary: { conditions: [], persons: ['lead'], equipment: [], supplies: [], spares: [], safety: [] },
  };
  const plan = planOf(packOf({ ...measure, ...needs }, sections));
  const occasion = { at: '2027-01-04T08:00:00Z', by: technician, id: 'a' };
  const codes = (more: Partial<typeof request>, by = technician): readonly string[] =>
    start(plan, { ...request, instruments: [gauge], ...more }, { ...occasion, by }).refusals?.map(
      (one) => one.code,
    ) ?? [];

  test('with everybody and every instrument', () => {
    expect(codes({})).toEqual([]);
  });
  test.each<readonly [string, Partial<typeof request>, string]>([
    [
      'a role that is not filled',
      { persons: [{ role: 'technician', person: technician }] },
      'unknown-person',
    ],
    [
      'a role filled by nobody',
      {
        persons: [
          { role: 'technician', person: technician },
          { role: 'lead', person: ' ' },
        ],
      },
      'unknown-person',
    ],
    [
      'a role that the pack has not',
      { persons: [...request.persons, { role: 'boss', person: 'D' }] },
      'wrong-role',
    ],
    ['no instrument', { instruments: [] }, 'instrument-missing'],
    [
      'an instrument that is overdue',
      { instruments: [{ ...gauge, due: '2027-01-03' }] },
      'instrument-overdue',
    ],
    [
      'an instrument without a due date',
      { instruments: [{ kind: 'gauge', identity: 'DG-1' }] },
      'instrument-missing',
    ],
    ['an instrument without an identity', { instruments: [{ ...gauge, identity: ' ' }] }, 'empty'],
    [
      'an instrument whose range cannot be read',
      { instruments: [{ ...gauge, range: ['0 mm', 'wide'] }] },
      'not-a-number',
    ],
  ])('%s', (_, more, code) => {
    expect(codes(more)).toEqual([code]);
  });
  test('a stranger', () => {
    expect(codes({}, 'stranger')).toEqual(['unknown-person']);
  });
});

describe('every command', () => {
  test('is refused of a stranger, after the job moved on, while it is parked, and when it is closed', () => {
    const job = bench({
      ...anyEnd,
      steps: [
        { step: 'one', do: 'x' },
        { step: 'two', do: 'x' },
      ],
      parking: { 'only-while': { pin: 'in' }, instructions: 'Cover it.', 'on-resuming': ['cold', 'dry'] },
    });
    refused(job, 'unknown-person', { command: 'done', step: 'one' }, { by: 'stranger' });
    refused(job, 'unknown-person', { command: 'note', text: 'x' }, { by: '' });
    refused(job, 'stale-sequence', { command: 'done', step: 'one' }, { expectedSeq: 0 });
    job.does({ command: 'done', step: 'one' }, { expectedSeq: 1 });
    refused(job, 'stale-sequence', { command: 'done', step: 'two' }, { expectedSeq: 1 });
    refused(job, 'not-offered', { command: 'resume', confirmed: [] });
    refused(job, 'empty', { command: 'park', reason: '  ' });
    job.does({ command: 'park', reason: 'night' });
    refused(job, 'job-parked', { command: 'done', step: 'two' });
    refused(job, 'job-parked', { command: 'park', reason: 'x' });
    refused(job, 'job-parked', { command: 'close' });
    job.does({ command: 'note', text: 'The heating is off.' });
    refused(job, 'not-confirmed', { command: 'resume', confirmed: ['dry'] });
    refused(job, 'not-confirmed', { command: 'resume', confirmed: [] });
    job.does({ command: 'resume', confirmed: ['dry', 'cold'] });
    job.done('two');
    job.closes();
    for (const command of [
      { command: 'done', step: 'two' },
      { command: 'close' },
      { command: 'note', text: 'x' },
      { command: 'abandon', reason: 'x' },
      { command: 'strike', target: 2, reason: 'x' },
    ] as const)
      refused(job, 'job-closed', command);
  });

  test('of a step that is not the one offered', () => {
    const job = bench({
      readings: { gap: length() },
      observations: { look: { text: 't', answers: { good: 'G', bad: 'B' } } },
      ...anyEnd,
      steps: [
        { step: 'hot', do: 'x', hazards: ['heat'] },
        { step: 'next', do: 'x', read: 'gap', observe: 'look' },
      ],
    });
    refused(job, 'not-offered', { command: 'done', step: 'hot' });
    refused(job, 'not-offered', { command: 'acknowledge', step: 'next' });
    job.does({ command: 'acknowledge', step: 'hot' });
    refused(job, 'not-offered', { command: 'acknowledge', step: 'hot' });
    refused(job, 'not-offered', { command: 'done', step: 'next' });
    refused(job, 'not-offered', { command: 'done', step: 'nowhere' });
    refused(job, 'not-offered', { command: 'omit', step: 'hot', reason: 'x' });
    refused(job, 'not-offered', { command: 'witness', step: 'hot' });
    refused(job, 'not-offered', { command: 'release', by: 'concession', reason: 'x' });
    refused(job, 'not-offered', { command: 'record', entry: 'gap', value: '1' });
    refused(job, 'not-offered', { command: 'close' });
    job.done('hot');
    job.done('next');
    refused(job, 'not-offered', { command: 'record', entry: 'gab', value: '1' });
    job.record('gap', '1');
    refused(job, 'not-offered', { command: 'record', entry: 'gap', value: '2' });
    refused(job, 'not-offered', { command: 'done', step: 'next' });
    job.record('look', 'good');
    refused(job, 'not-offered', { command: 'done', step: 'next' });
    job.closes();
  });
});

describe('acts', () => {
  test('a law, a requirement and a change are refused in the words of the pack', () => {
    const job = bench({
      ends: { pin: ['in', 'out'] },
      steps: [
        { step: 'turn', turn: '360°', 'not-applicable': 'lead' },
        { step: 'needs', do: 'x', requires: { pin: 'out' }, 'not-applicable': 'lead' },
        { step: 'put-in', do: 'x', changes: { pin: ['out', 'in'] }, 'not-applicable': 'lead' },
        { step: 'uncover', do: 'x', changes: { cover: ['on', 'off'] } },
        { step: 'take-out', do: 'x', changes: { pin: ['in', 'out'] }, 'not-applicable': 'lead' },
      ],
    });
    const omit = (step: string): void => void job.does({ command: 'omit', step, reason: 'x' }, { by: lead });
    refused(job, 'interlock', { command: 'done', step: 'turn' });
    refused(job, 'wrong-role', { command: 'omit', step: 'turn', reason: 'x' });
    refused(job, 'empty', { command: 'omit', step: 'turn', reason: '' }, { by: lead });
    omit('turn');
    refused(job, 'requirement', { command: 'done', step: 'needs' });
    omit('needs');
    refused(job, 'change-from', { command: 'done', step: 'put-in' });
    omit('put-in');
    job.done('uncover');
    // Not by what is before the act, but by what would be after it.
    refused(job, 'interlock', { command: 'done', step: 'take-out' });
    omit('take-out');
    job.closes();
  });

  test('a second person', () => {
    const job = bench({
      ...anyEnd,
      steps: [
        { step: 'both', do: 'x', 'together-with': 'second' },
        { step: 'alone', do: 'x' },
      ],
    });
    refused(job, 'empty', { command: 'done', step: 'both' });
    refused(job, 'same-person', { command: 'done', step: 'both', together: technician });
    refused(job, 'wrong-role', { command: 'done', step: 'both', together: lead });
    refused(job, 'wrong-role', { command: 'done', step: 'both', together: 'stranger' });
    expect(job.does({ command: 'done', step: 'both', together: second })[0]).toMatchObject({
      together: second,
    });
    // Where nobody is asked for, nobody is recorded.
    expect(job.does({ command: 'done', step: 'alone', together: 'stranger' })[0]).not.toHaveProperty(
      'together',
    );
    job.closes();
  });

  test('a wait is counted from when the step was reached', () => {
    const job = bench({
      ...anyEnd,
      steps: [
        { step: 'before', do: 'x' },
        { step: 'wait', wait: '30 min' },
      ],
    });
    job.does({ command: 'done', step: 'before' }, { at: '2027-01-04T10:00:00Z' });
    const wait = { command: 'done', step: 'wait' } as const;
    refused(job, 'too-soon', wait, { at: '2027-01-04T10:29:59Z' });
    refused(job, 'too-soon', wait, { at: '2027-01-04T09:00:00Z' });
    refused(job, 'bad-time', wait, { at: 'some time' });
    // A remark does not start it anew, and an offset is no time passed.
    job.does({ command: 'note', text: 'Tea.' }, { at: '2027-01-04T10:20:00Z' });
    refused(job, 'too-soon', wait, { at: '2027-01-04T12:29:59+02:00' });
    expect(job.does(wait, { at: '2027-01-04T12:30:00+02:00' })[0]).toMatchObject({
      since: '2027-01-04T10:00:00Z',
    });
    job.closes();
  });

  test('a reading during which limits did not hold', () => {
    const speed = {
      measurand: 'Speed',
      quantity: 'rotational-speed',
      unit: 'r/min',
      plausible: ['0 r/min', '3000 r/min'],
    };
    const job = bench({
      ...anyEnd,
      readings: { gap: length({ throughout: ['speed-limits'] }), speed },
      tolerances: { 'speed-limits': { of: 'speed', 'at-most': '1500 r/min', source: 's' } },
      steps: [{ step: 'measure', read: 'gap' }],
    });
    const record = { command: 'record', entry: 'gap', value: '1.5' } as const;
    refused(job, 'not-held', { ...record, held: false });
    job.does({ ...record, held: true });
    job.closes();
  });

  test('a photograph', () => {
    const job = bench({ ...anyEnd, steps: [{ step: 'photo', photograph: 'The bores from above.' }] });
    refused(job, 'empty', { command: 'done', step: 'photo' });
    const photograph = { digest: 'sha256:1', name: 'bores.jpg' };
    expect(job.does({ command: 'done', step: 'photo', photograph })[0]).toMatchObject({ photograph });
    job.closes();
  });

  test('a torque wrench whose length nobody has measured, with an adapter', () => {
    const tighten = { joint: 'clamp', stages: ['30 N·m'], with: 'wrench', adapter: { length: '40 mm' } };
    const job = bench({ ...anyEnd, steps: [{ step: 'tighten', tighten }] });
    refused(job, 'wrench-length', { command: 'done', step: 'tighten' });
    job.does({ command: 'equip', instrument: { ...wrench, length: '300 mm' } });
    job.done('tighten');
  });

  test('a torque wrench', () => {
    const tighten = { joint: 'clamp', stages: ['slacken', '30 N·m', '+ 90°'], with: 'wrench' };
    const job = bench({ ...anyEnd, steps: [{ step: 'clamp', tighten }] });
    const done = (instrument?: string) =>
      ({ command: 'done', step: 'clamp', ...(instrument === undefined ? {} : { instrument }) }) as const;
    refused(job, 'instrument-missing', done('TW-9'));
    refused(job, 'instrument-missing', done('DG-1'));
    refused(job, 'instrument-overdue', done(), { at: '2027-07-01T00:00:00Z' });
    job.does({ command: 'equip', instrument: { ...wrench, identity: 'TW-2', range: ['1 N·m', '29.9 N·m'] } });
    refused(job, 'beyond-instrument', done('TW-2'));
    // The one that was named last is the one that is used.
    refused(job, 'beyond-instrument', done());
    expect(job.does(done('TW-1'), { at: '2027-06-30T23:59:00Z' })[0]).toMatchObject({
      instrument: { identity: 'TW-1' },
    });
    job.closes();
  });

  test('an instrument that is added', () => {
    const job = bench(measure);
    const equip = (more: Partial<InstrumentUsed>) =>
      ({ command: 'equip', instrument: { ...gauge, identity: 'DG-2', ...more } }) as const;
    refused(job, 'instrument-missing', equip({ kind: 'wrench' }));
    refused(job, 'instrument-missing', { command: 'equip', instrument: { kind: 'gauge', identity: 'DG-2' } });
    refused(job, 'instrument-overdue', equip({ due: '2027-01-03' }));
    refused(job, 'empty', equip({ identity: '' }));
    refused(job, 'not-a-number', equip({ resolution: 'fine' }));
    job.does(equip({}));
    expect(job.record('gap', '5')[0]).toMatchObject({ instrument: { identity: 'DG-2' } });
    job.closes();
  });

  test('a witness', () => {
    const job = bench({
      readings: { gap: length() },
      ...anyEnd,
      steps: [{ step: 'it', do: 'x', read: 'gap', witness: 'lead' }],
    });
    job.done('it');
    job.record('gap', '1', { by: lead });
    refused(job, 'wrong-role', { command: 'witness', step: 'it' }, { by: second });
    // Both had a hand in it: one did it, the other read.
    refused(job, 'same-person', { command: 'witness', step: 'it' });
    refused(job, 'same-person', { command: 'witness', step: 'it' }, { by: lead });
    job.strike('gap');
    job.strike('it');
    job.done('it');
    job.record('gap', '1');
    job.does({ command: 'witness', step: 'it' }, { by: lead });
    job.closes();
  });
});

describe('readings', () => {
  test.each<readonly [string, RefusalCode]>([
    ['', 'empty'],
    ['   ', 'empty'],
    ['abc', 'not-a-number'],
    ['1.2.3', 'doubtful-number'],
    ['1,234', 'doubtful-number'],
    ['5 N·m', 'wrong-quantity'],
    ['5 bar', 'wrong-quantity'],
    ['5 mmm', 'wrong-unit'],
    ['10.1', 'implausible'],
    ['-0.1 mm', 'implausible'],
    ['1 m', 'implausible'],
    ['1e3', 'not-a-number'],
    ['9'.repeat(100), 'too-long'],
    ['NaN', 'not-a-number'],
    ['Infinity', 'not-a-number'],
    ['0x10', 'not-a-number'],
  ])('%j: %s', (value, code) => {
    const job = bench(measure);
    refused(job, code, { command: 'record', entry: 'gap', value });
    job.record('gap', '5 mm');
    job.closes();
  });

  test.each(['0', '0.0 mm', '10', '10.000 mm', '1 cm'])('%s is still plausible', (value) => {
    const job = bench(measure);
    job.record('gap', value);
    job.closes();
  });

  test('an instrument', () => {
    const job = bench({
      ...measure,
      readings: { gap: length({ instrument: 'gauge', plausible: ['0 mm', '50 mm'] }) },
    });
    const read = (value: string, more = {}) => ({ command: 'record', entry: 'gap', value, ...more }) as const;
    refused(job, 'beyond-instrument', read('20.01'));
    refused(job, 'instrument-overdue', read('5'), { at: '2027-07-01T08:00:00Z' });
    refused(job, 'instrument-missing', read('5', { instrument: 'TW-1' }));
    expect(job.does(read('0,5', { instrument: 'DG-1' }))[0]).toMatchObject({
      digits: '0.5',
      unit: 'mm',
      typed: '0,5',
      instrument: gauge,
    });
    job.closes();
  });

  test('what lies beyond the scale, and a second instrument among repeats', () => {
    const job = bench({
      ...measure,
      readings: {
        gap: length({ instrument: 'gauge', plausible: ['0 mm', '50 mm'], repeats: { times: '2' } }),
      },
    });
    const read = (value: string, more = {}) => ({ command: 'record', entry: 'gap', value, ...more }) as const;
    refused(job, 'beyond-scale', read('> 19.99'));
    refused(job, 'beyond-scale', read('> 20.01'));
    job.record('gap', '5');
    job.does({ command: 'equip', instrument: { ...gauge, identity: 'DG-2' } });
    refused(job, 'other-instrument', read('5'));
    job.does(read('> 20', { instrument: 'DG-1' }));
    job.closes();
  });

  test('no instrument is named, though the job was started with one', () => {
    const document = packOf({ ...measure, steps: [{ step: 'measure', read: 'gap' }] }, sections);
    const job = new Bench(document, { instruments });
    const bare = { ...job.job, instruments: [] };
    const answer = decide(
      job.plan,
      bare,
      { command: 'record', entry: 'gap', value: '5' },
      { at: '2027-01-04T09:00:00Z', by: technician, id: 'x' },
    );
    expect(answer.refusals?.[0]?.code).toBe('instrument-missing');
  });

  test('a reading needs the states that it says, and is taken when they hold', () => {
    const job = bench({
      readings: { gap: length({ requires: { cover: 'off' } }) },
      steps: [{ step: 'measure', read: 'gap', 'not-applicable': 'lead' }],
      ...anyEnd,
    });
    refused(job, 'requirement', { command: 'record', entry: 'gap', value: '5' });
    expect(job.offered).toEqual(['omit measure']);
    job.does({ command: 'omit', step: 'measure', reason: 'no gap on this engine' }, { by: lead });
    job.closes();
  });
});

describe('answers, texts and serial numbers', () => {
  const document: Written = {
    ...anyEnd,
    observations: { look: { text: 't', answers: { good: 'G', bad: 'B' } } },
    steps: [
      { step: 'fill', 'fill-in': 'hours' },
      { step: 'tell', 'fill-in': 'complaint' },
      { step: 'see', observe: 'look' },
      { each: 'bore', of: 'bores', steps: [{ step: 'found', identify: { part: 'pump', as: 'found' } }] },
      {
        each: 'bore',
        of: 'bores',
        id: 'fit',
        steps: [
          {
            step: 'fitted',
            identify: { part: 'pump', as: 'fitted' },
            'if-nonconforming': { hold: 'ask-the-lead' },
          },
        ],
      },
    ],
  };

  test('each wrong entry is refused for its own reason', () => {
    const job = bench(document);
    const enter = (entry: string, value: string, more = {}) =>
      ({ command: 'record', entry, value, ...more }) as const;
    refused(job, 'empty', enter('hours', ' '));
    refused(job, 'wrong-shape', enter('hours', '123'));
    refused(job, 'too-long', enter('hours', '123456789'));
    job.record('hours', ' 12345 ');
    refused(job, 'too-long', enter('complaint', 'will not start'));
    job.record('complaint', 'smokes');
    refused(job, 'empty', enter('look', ''));
    refused(job, 'unknown-answer', enter('look', 'fine'));
    job.record('look', 'good');
    refused(job, 'empty', enter('pump@1.found', ''));
    refused(job, 'wrong-shape', enter('pump@1.found', 'MU-12'));
    refused(job, 'wrong-shape', enter('pump@1.found', 'mu-123'));
    job.record('pump@1.found', 'MU-001');
    refused(job, 'identity-in-use', enter('pump@2.found', 'MU-001'));
    job.record('pump@2.found', 'MU-002');
    job.record('pump@3.found', 'MU-003');
    // Of another bore, and not of this engine at all.
    refused(job, 'unexpected-identity', enter('pump@1.fitted', 'MU-002'));
    refused(job, 'unexpected-identity', enter('pump@1.fitted', 'MU-999'));
    job.record('pump@1.fitted', 'MU-001');
    // It came out of bore 1 and is in bore 1 again: it cannot be in bore 2, however much one insists.
    refused(job, 'identity-in-use', enter('pump@2.fitted', 'MU-001'));
    refused(job, 'identity-in-use', enter('pump@2.fitted', 'MU-001', { insist: true }));
    job.record('pump@2.fitted', 'MU-002');
    job.record('pump@3.fitted', 'MU-003');
    job.closes();
  });

  test('a part that is renewed has a number of its own, which counts where it is fitted', () => {
    const job = bench({
      ...anyEnd,
      steps: [
        {
          each: 'bore',
          of: 'bores',
          steps: [
            { step: 'found', identify: { part: 'pump', as: 'found' } },
            { step: 'scrap', remove: 'pump' },
            { step: 'new', renew: 'pump', identify: { part: 'pump', as: 'found' } },
            {
              step: 'fitted',
              identify: { part: 'pump', as: 'fitted' },
              'if-nonconforming': { hold: 'ask-the-lead' },
            },
          ],
        },
      ],
    });
    const enter = (entry: string, value: string, more = {}) =>
      ({ command: 'record', entry, value, ...more }) as const;
    for (const [bore, old, fresh] of [
      ['1', 'MU-001', 'MU-101'],
      ['2', 'MU-002', 'MU-102'],
      ['3', 'MU-003', 'MU-103'],
    ] as const) {
      job.record(`pump@${bore}.found`, old);
      job.done(`bore=${bore}/scrap`);
      job.done(`bore=${bore}/new`);
      refused(job, 'unexpected-identity', enter(`pump@${bore}.found`, old));
      refused(job, 'unexpected-identity', enter(`pump@${bore}.found`, old, { insist: true }));
      job.record(`pump@${bore}.found`, fresh);
      refused(job, 'unexpected-identity', enter(`pump@${bore}.fitted`, old));
      job.record(`pump@${bore}.fitted`, fresh);
    }
    job.closes();
  });
});

describe('holds', () => {
  const procedure = (hold: Written): readonly [Written, Written] => [
    {
      readings: { gap: length() },
      tolerances: { fit: limits('gap') },
      ...anyEnd,
      steps: [
        { step: 'begin', do: 'x' },
        { step: 'measure', read: 'gap', judge: 'fit', 'if-nonconforming': { hold: 'h' } },
      ],
    },
    { holds: { ...holds, h: { text: 'Held.', ...hold } } },
  ];
  const held = (hold: Written): Bench => {
    const job = bench(...procedure(hold));
    job.done('begin');
    job.record('gap', '3');
    expect(job.hold).toBe('h');
    return job;
  };
  const release = (by: 'concession' | 'rework' | 'witness', reason = 'x') =>
    ({ command: 'release', by, reason }) as const;

  test('a concession', () => {
    const job = held({ release: [{ concession: 'lead' }] });
    refused(job, 'not-offered', { command: 'record', entry: 'gap', value: '1' });
    refused(job, 'not-offered', { command: 'done', step: 'measure' });
    refused(job, 'not-offered', { command: 'park', reason: 'x' });
    refused(job, 'not-offered', { command: 'close' });
    refused(job, 'wrong-role', release('concession'));
    refused(job, 'not-offered', release('rework'), { by: lead });
    refused(job, 'not-offered', release('witness'), { by: lead });
    refused(job, 'empty', release('concession', '  '), { by: lead });
    refused(job, 'too-long', release('concession', 'x'.repeat(1001)), { by: lead });
    job.release('concession', { by: lead });
    expect(job.verdicts).toEqual(['fit high']);
    job.closes();
  });

  test('a concession is not for who did the work', () => {
    const job = bench(...procedure({ release: [{ concession: 'lead' }] }));
    job.done('begin');
    job.record('gap', '3', { by: lead });
    refused(job, 'same-person', release('concession'), { by: lead });
    job.strike('gap');
    job.record('gap', '2');
    job.closes();
  });

  test('of two roles that may, each may', () => {
    const ways = { release: [{ concession: 'second' }, { concession: 'lead' }] };
    for (const by of [second, lead]) held(ways).release('concession', { by });
    refused(held(ways), 'wrong-role', release('concession'));
  });

  test('what protects people has no concession', () => {
    const job = held({
      safety: 'yes',
      release: [{ rework: [], 'resume-at': 'begin', times: '1', by: 'lead' }],
    });
    refused(job, 'no-concession', release('concession'), { by: lead });
    refused(job, 'wrong-role', release('rework'));
    job.release('rework', { by: lead });
    expect(job.at).toBe('begin');
    job.done('begin');
    job.record('gap', '3');
    refused(job, 'not-offered', release('rework'), { by: lead });
    refused(job, 'no-concession', release('concession'), { by: lead });
    // Nothing is left but to strike what was wrong, or to give up.
    refused(job, 'empty', { command: 'abandon', reason: '' });
    job.does({ command: 'abandon', reason: 'The gap stays.' });
    expect(job.job.control.closed).toBe('unfinished');
    job.replays();
  });
});

describe('striking', () => {
  test('only what counts and what changed no state', () => {
    const job = bench({
      readings: { gap: length() },
      ...anyEnd,
      steps: [
        { step: 'look', do: 'x' },
        { step: 'change', do: 'x', changes: { cover: ['on', 'off'] } },
        { step: 'measure', read: 'gap' },
        { step: 'last', do: 'x' },
      ],
    });
    const strike = (target: number, reason = 'x') => ({ command: 'strike', target, reason }) as const;
    job.done('look');
    job.done('change');
    job.record('gap', '1');
    const first = job.seqOf('gap');
    refused(job, 'empty', strike(first, ' '));
    refused(job, 'too-long', strike(first, 'x'.repeat(2000)));
    refused(job, 'nothing-to-strike', strike(99));
    refused(job, 'nothing-to-strike', strike(1));
    refused(job, 'nothing-to-strike', strike(job.seqOf('change')));
    job.strike('gap');
    refused(job, 'nothing-to-strike', strike(first));
    refused(job, 'nothing-to-strike', strike(job.job.seq));
    job.record('gap', '2');
    refused(job, 'nothing-to-strike', strike(first));
    const look = job.seqOf('look');
    job.strike('look');
    expect(job.at).toBe('look');
    refused(job, 'nothing-to-strike', strike(look));
    job.done('look');
    // The first doing was struck and cannot be struck again in the place of the second.
    refused(job, 'nothing-to-strike', strike(look));
    expect(job.at).toBe('last');
    job.done('last');
    job.closes();
  });
});

test('a strike from which nothing leads on is taken only of one who insists', () => {
  const job = bench({
    ends: { pin: ['in', 'out'], cover: ['on', 'off'] },
    readings: { gap: length({ requires: { cover: 'on' } }) },
    steps: [
      { step: 'measure', read: 'gap' },
      { step: 'off', do: 'x', changes: { cover: ['on', 'off'] } },
      { step: 'last', do: 'x' },
    ],
  });
  job.record('gap', '1');
  job.done('off');
  const strike = { command: 'strike', target: job.seqOf('gap'), reason: 'x' } as const;
  refused(job, 'no-way-back', strike);
  job.done('last');
  refused(job, 'no-way-back', strike);
  job.does({ ...strike, insist: true });
  refused(job, 'not-offered', { command: 'close' });
});

describe('who joins later', () => {
  const document: Written = {
    ...anyEnd,
    steps: [{ step: 'both', do: 'x', 'together-with': 'second', witness: 'lead' }],
  };

  test('has a name and a role of the pack, and then may act', () => {
    const job = bench(document);
    const join = (role: string, person: string) => ({ command: 'join', role, person }) as const;
    refused(job, 'empty', join('second', ' '));
    refused(job, 'too-long', join('second', 'x'.repeat(101)));
    refused(job, 'wrong-role', join('boss', 'fourth D'));
    refused(job, 'wrong-role', { command: 'done', step: 'both', together: 'fourth D' });
    refused(job, 'unknown-person', { command: 'note', text: 'x' }, { by: 'fourth D' });
    job.does(join('second', 'fourth D'));
    job.does({ command: 'done', step: 'both', together: 'fourth D' });
    job.does(join('lead', 'fourth D'));
    // In a new role he is still the one who did the work.
    refused(job, 'same-person', { command: 'witness', step: 'both' }, { by: 'fourth D' });
    job.does({ command: 'witness', step: 'both' }, { by: lead });
    job.closes();
  });

  test('one person in every role does not start what needs two', () => {
    const alone = {
      ...request,
      instruments,
      persons: request.persons.map(({ role }) => ({ role, person: technician })),
    };
    const occasion = { at: '2027-01-04T08:00:00Z', by: technician, id: 'a' };
    const codes = (procedure: Written): readonly string[] =>
      start(planOf(packOf(procedure, sections)), alone, occasion).refusals?.map((one) => one.code) ?? [];
    expect(codes(document)).toEqual(['same-person']);
    expect(codes({ ...anyEnd, steps: [{ step: 'alone', do: 'x' }] })).toEqual([]);
  });
});

test('what is taken over from an earlier job; carry.test.ts has more of it', () => {
  const carry = { from: 'bench', procedure: 'test', value: 'gap', 'valid-for': '30 d', 'of-engine': 'hours' };
  const job = bench({
    ...anyEnd,
    readings: { gap: length({ carry }) },
    steps: [
      { step: 'hours', 'fill-in': 'hours' },
      { step: 'gap', read: 'gap' },
    ],
  });
  job.record('hours', '12345');
  const value = {
    name: 'gap',
    title: 'Gap',
    at: '2027-01-01T00:00:00Z',
    digits: '3',
    unit: 'mm',
    exact: '3',
  };
  const origin = {
    ...{ job: 'first', pack: 'bench', revision: '1.0.0', bundle: 'sha256:1', procedure: 'test' },
    variant: 'small',
    closed: 'finished' as const,
    fields: [{ name: 'hours', text: '12345' }],
  };
  const from = (more: object, rest: object = {}) =>
    ({
      command: 'carry',
      entry: 'gap',
      origin: { ...origin, values: [{ ...value, ...more }], ...rest },
    }) as const;
  refused(job, 'too-old', from({ at: '2026-01-01T00:00:00Z' }));
  refused(job, 'from-the-future', from({ at: '2028-01-01T00:00:00Z' }));
  refused(job, 'other-engine', from({}, { fields: [{ name: 'hours', text: '54321' }] }));
  refused(job, 'not-carryable', from({ name: 'play' }));
  refused(job, 'origin-struck', from({ because: 'struck' }));
  refused(job, 'origin-nonconforming', from({ verdict: 'nonconforming' }));
  job.does(from({}));
  job.closes();
});

describe('parking and closing', () => {
  test('only in the states that the procedure says', () => {
    const parking = {
      'only-while': { cover: 'on' },
      instructions: 'Put the cover on.',
      'on-resuming': ['cold'],
    };
    const job = bench({
      parking,
      ends: { pin: ['in', 'out'], cover: 'on' },
      steps: [
        { step: 'off', do: 'x', changes: { cover: ['on', 'off'] } },
        { step: 'on', do: 'x', changes: { cover: ['off', 'on'] } },
      ],
    });
    expect(job.offered).toContain('park');
    job.done('off');
    expect(job.offered).not.toContain('park');
    refused(job, 'states-for-parking', { command: 'park', reason: 'night' });
    job.done('on');
    job.does({ command: 'park', reason: 'night' });
    expect(job.does({ command: 'resume', confirmed: ['cold', 'anything'] })[0]).toMatchObject({
      confirmed: ['cold'],
    });
    job.closes();
  });

  test('a procedure that says nothing of parking is not parked', () => {
    const job = bench({ ...anyEnd, steps: [{ step: 'one', do: 'x' }] });
    refused(job, 'states-for-parking', { command: 'park', reason: 'night' });
    job.does({ command: 'abandon', reason: 'no time' });
  });

  test('a job does not end in other states than the declared ones', () => {
    const job = bench({
      steps: [{ step: 'out', do: 'x', changes: { pin: ['in', 'out'] }, 'not-applicable': 'lead' }],
    });
    job.does({ command: 'omit', step: 'out', reason: 'x' }, { by: lead });
    expect(job.at).toBe('end');
    refused(job, 'requirement', { command: 'close' });
    expect(job.offered).toEqual([]);
  });

  test('a note', () => {
    const job = bench({ ...anyEnd, steps: [{ step: 'one', do: 'x' }] });
    refused(job, 'empty', { command: 'note', text: '\n' });
    refused(job, 'too-long', { command: 'note', text: 'x'.repeat(4001) });
    const { control } = job.job;
    job.does({ command: 'note', text: 'The seat is dark.' });
    expect(job.job.control).toBe(control);
  });
});

test('every code of the register has been refused here', () => {
  expect(refusalCodes.filter((code) => !covered.has(code))).toEqual([]);
});
