import { holds, length, limits, packOf, type Written } from '../../packages/engine/test/small-pack.ts';

const step = (id: string, more: Written = {}): Written => ({ step: id, do: 'x', ...more });
const observation = (more: Written = {}): Written => ({
  text: 't',
  answers: { good: 'G', bad: 'B', odd: 'O' },
  ...more,
});
const remedy = { hold: 'ask-the-lead' };
const states = {
  cover: { is: ['on', 'off'], starts: 'on', ends: 'on' },
  pin: { is: ['in', 'out'], starts: 'out', ends: 'out' },
  pump: { per: 'bore', is: ['absent', 'seated', 'clamped'], starts: 'absent', ends: ['absent', 'clamped'] },
};
const parts = {
  pump: { title: 'Pump', per: 'bore', identity: '"MU"-9', 'matched-with': ['nozzle'] },
  nozzle: { title: 'Nozzle', per: 'bore', identity: '"NZ"-9', 'matched-with': ['pump'] },
  seal: { title: 'Seal', 'single-use': 'yes' },
};
const conditions = { cold: { text: 'Cold.' } };
const hazards = { heat: { signal: 'danger', text: 'Hot.', acknowledge: 'yes' } };
const fields = { hours: { title: 'Hours', shape: '999' } };
const interlocks = [
  { law: 'pin-out-to-turn', says: 'The pin is in.', while: { pin: 'in' }, forbid: 'turn-crank' },
  {
    law: 'on-base',
    says: 'Off its base circle.',
    entering: { pump: 'seated' },
    'only-while': { follower: 'on-base-circle' },
  },
];
const more: Written = { states, parts, conditions, hazards, fields, interlocks };
const carriedFrom = (value: string): Written => ({
  ...{ from: 'earlier', procedure: 'measure', value, 'valid-for': '30 d', 'of-engine': 'hours' },
});
const undo = (id: string, changes: Written): Written => ({
  text: 't',
  release: [
    { rework: [step('undo', { changes })], 'resume-at': id, times: '2', by: 'lead' },
    { concession: 'lead' },
  ],
});

/** Reworks in one another, two-sided, with an exhausted hold that goes back over a block. */
const reworks = packOf(
  {
    readings: { gap: length(), play: length({ requires: { cover: 'off' } }) },
    observations: { look: observation({ conforming: ['good'] }) },
    derived: { sum: { is: { '+': [{ var: 'gap' }, { var: 'play' }] } } },
    tolerances: {
      fit: limits('gap'),
      'play-fit': limits('play'),
      both: { of: 'sum', 'at-most': '3 mm', source: 's' },
    },
    holds: {
      again: undo('open', { cover: ['on', 'off'] }),
      'over-again': {
        text: 't',
        release: [
          { rework: [step('shut', { changes: { cover: ['off', 'on'] } })], 'resume-at': 'open', times: '1' },
        ],
      },
    },
    steps: [
      step('open', { changes: { cover: ['on', 'off'] }, hazards: ['heat'] }),
      {
        block: 'inner',
        steps: [
          {
            step: 'play',
            read: 'play',
            judge: 'play-fit',
            'if-nonconforming': {
              rework: [
                step('wipe'),
                {
                  step: 'see',
                  observe: 'look',
                  'if-nonconforming': {
                    rework: [step('wipe-more')],
                    'resume-at': 'wipe',
                    attempts: '2',
                    exhausted: 'ask-the-lead',
                  },
                },
              ],
              'resume-at': 'play',
              attempts: '3',
              exhausted: 'over-again',
            },
          },
          {
            step: 'gap',
            read: 'gap',
            judge: 'fit',
            'if-nonconforming': {
              'when-high': {
                rework: [step('grind')],
                'resume-at': 'play',
                attempts: '2',
                exhausted: 'over-again',
              },
              'when-low': remedy,
            },
          },
          { step: 'sum', judge: 'both', 'if-nonconforming': { hold: 'over-again' }, witness: 'lead' },
        ],
      },
      step('close', { changes: { cover: ['off', 'on'] } }),
      step('last', { disturbs: 'gap' }),
      {
        step: 'gap-again',
        read: 'gap',
        judge: 'fit',
        'if-nonconforming': {
          rework: [step('knock')],
          'resume-at': 'last',
          attempts: '2',
          exhausted: 'worn-out',
        },
      },
    ],
    parking: { 'only-while': { cover: 'on' }, instructions: 'i', 'on-resuming': ['cold'] },
  },
  { ...more, holds },
);

/** Choices by states, answers and readings, steps passed over, steps left out. */
const choices = packOf(
  {
    readings: { gap: length(), play: length() },
    observations: { look: observation(), feel: observation({ conforming: ['good', 'odd'] }) },
    steps: [
      { step: 'see', observe: 'look', 'not-applicable': 'lead' },
      { step: 'read', read: ['gap', 'play'], 'not-applicable': 'lead' },
      {
        block: 'if-good',
        'only-if': { observed: { look: ['good', 'odd'] } },
        steps: [
          { step: 'a', 'refer-to': { pack: 'other', procedure: 'a', title: 'A' }, 'not-applicable': 'lead' },
          step('b', { 'only-if': { logic: { '>': [{ var: 'gap' }, '2 mm'] } } }),
        ],
      },
      {
        choose: 'which',
        cases: [
          {
            when: { logic: { '<': [{ var: 'gap' }, { var: 'play' }] } },
            steps: [step('small', { changes: { cover: ['on', 'off'] } })],
          },
          { when: { logic: { '>': [{ var: 'gap' }, '5 mm'] } }, steps: [step('large')] },
        ],
        otherwise: [{ step: 'feel', observe: 'feel', 'if-nonconforming': remedy }],
      },
      {
        choose: 'shut',
        cases: [
          {
            when: { state: { cover: 'off' } },
            steps: [step('close', { changes: { cover: ['off', 'on'] } })],
          },
        ],
        otherwise: [{ hold: 'look-here' }],
      },
      step('c', {
        'only-if': {
          logic: { and: [{ '>': [{ var: 'gap' }, '1 mm'] }, { '<': [{ var: 'play' }, '4 mm'] }] },
        },
        'together-with': 'second',
      }),
    ],
    afterwards: ['cold'],
  },
  {
    ...more,
    holds: {
      ...holds,
      'look-here': {
        text: 't',
        release: [{ witness: 'lead' }, { rework: [step('again')], 'resume-at': 'read', times: '1' }],
      },
    },
  },
);

/** Serial numbers of matched sets, single-use parts, and what is struck when it is too late. */
const partsAndStrikes = packOf(
  {
    readings: { gap: length({ per: 'bore', requires: { pump: 'seated' } }) },
    tolerances: { fit: limits('gap') },
    steps: [
      { step: 'fill', 'fill-in': 'hours' },
      {
        each: 'bore',
        of: ['1', '2'],
        id: 'found',
        steps: ['pump', 'nozzle'].map((part) => ({ step: part, identify: { part, as: 'found' } })),
      },
      { step: 'strip', remove: 'seal' },
      {
        each: 'bore',
        of: ['1', '2'],
        steps: [
          ...['pump', 'nozzle'].map((part) => ({
            step: part,
            identify: { part, as: 'fitted', 'accept-new': 'yes' },
            'if-nonconforming': {
              rework: [step('put-back')],
              'resume-at': 'pump',
              attempts: '2',
              exhausted: 'ask-the-lead',
            },
          })),
          { step: 'lock', 'turn-to': { mark: 'tdc-exhaust', 'proved-by': 'x' } },
          step('seat', { changes: { pump: ['absent', 'seated'] }, 'not-applicable': 'lead' }),
          {
            step: 'gap',
            read: 'gap',
            judge: 'fit',
            'if-nonconforming': remedy,
            'if-struck': {
              rework: [step('loosen', { changes: { pump: ['clamped', 'seated'] } })],
              'resume-at': 'gap',
              attempts: '3',
              exhausted: 'safe',
            },
          },
          step('clamp', { changes: { pump: ['seated', 'clamped'] } }),
        ],
      },
      { step: 'seal', renew: 'seal' },
      step('last', { requires: { 'every-bore': { pump: ['clamped', 'absent'] } } }),
    ],
  },
  {
    ...more,
    holds: {
      ...holds,
      safe: { text: 't', safety: 'yes', release: [{ rework: [], 'resume-at': 'pump', times: '1' }] },
    },
  },
);

/** Values that may be taken over from an earlier job, in a rework, judged later, repeated, and struck with the number. */
const carrying = packOf(
  {
    readings: {
      gap: length({ per: 'bore', carry: carriedFrom('gap') }),
      play: length({ carry: carriedFrom('play@1'), repeats: { times: '2' } }),
    },
    derived: { sum: { per: 'bore', is: { '+': [{ var: 'gap' }, { var: 'play' }] } } },
    tolerances: { fit: limits('gap'), both: { of: 'sum', 'at-most': '4 mm', source: 's' } },
    steps: [
      { step: 'number', 'fill-in': 'hours' },
      { step: 'open', do: 'x', changes: { cover: ['on', 'off'] } },
      { step: 'play', read: 'play' },
      {
        each: 'bore',
        of: ['1', '2'],
        steps: [
          {
            step: 'gap',
            read: 'gap',
            judge: 'fit',
            'if-nonconforming': {
              rework: [step('grind')],
              'resume-at': 'gap',
              attempts: '3',
              exhausted: 'ask-the-lead',
            },
          },
          { step: 'sum', judge: 'both', 'if-nonconforming': remedy },
        ],
      },
      step('close', { changes: { cover: ['off', 'on'] } }),
      step('extra', { 'only-if': { logic: { '>': [{ var: 'gap@1' }, { var: 'gap@2' }] } } }),
    ],
  },
  { ...more, holds },
);

/** A crank turned over the stops of its plan; bore 1 and 2 rest at TDC on exhaust, bore 3 does not. */
const turning = packOf(
  {
    readings: { gap: length({ per: ['bore', 'go'] }) },
    tolerances: { fit: { ...limits('gap') } },
    steps: [
      { step: 'to-mark', 'turn-to': { mark: 'tdc-exhaust', 'proved-by': 'x' } },
      {
        each: 'stop',
        of: 'plan.stops',
        steps: [
          step('pin-out', { changes: { pin: ['in', 'out'] }, 'only-if': { state: { pin: 'in' } } }),
          { step: 'turn', turn: 'stop.rotation' },
          step('pin-in', { changes: { pin: ['out', 'in'] } }),
          {
            each: 'bore',
            of: 'stop.bores',
            steps: [
              step('seat', { changes: { pump: ['absent', 'seated'] } }),
              {
                each: 'go',
                of: ['first', 'second'],
                steps: [
                  {
                    step: 'set',
                    read: 'gap',
                    judge: 'fit',
                    'if-nonconforming': {
                      rework: [step('loosen')],
                      'resume-at': 'set',
                      attempts: '2',
                      exhausted: 'worn-out',
                    },
                  },
                ],
              },
              step('clamp', { changes: { pump: ['seated', 'clamped'] } }),
            ],
          },
        ],
      },
      step('pin-out', { changes: { pin: ['in', 'out'] } }),
      { step: 'free', 'turn-until': 'It turns freely.' },
      { step: 'wait', wait: '5 min' },
      { step: 'photo', photograph: 'All of it.' },
    ],
  },
  more,
);

/** A reading during which limits hold, and times that are judged: inside a loop, by a rework that leads back over their step, up to another step, and in a rate. */
const timed = packOf(
  {
    readings: { gap: length(), play: length({ throughout: ['held'] }), level: length() },
    derived: {
      age: { is: { elapsed: { since: 'warm' } } },
      own: { per: 'bore', is: { elapsed: { since: 'begin' } } },
      stood: { is: { elapsed: { since: 'shut', until: 'read' } } },
      rate: { is: { '/': [{ difference: ['gap', 'play'] }, { elapsed: { since: 'warm' } }] } },
    },
    tolerances: {
      held: { of: 'level', 'at-most': '9 mm', source: 's' },
      warm: { of: 'age', 'at-most': '40 min', source: 's' },
      'own-fit': { of: 'own', between: ['5 min', '20 min'], source: 's' },
      stood: { of: 'stood', 'at-most': '15 min', source: 's' },
      rate: { of: 'rate', 'at-most': '0.001 mm/s', source: 's' },
    },
    steps: [
      step('warm'),
      {
        each: 'bore',
        of: ['1', '2'],
        steps: [
          step('begin'),
          step('meanwhile'),
          {
            step: 'own',
            judge: 'own-fit',
            'if-nonconforming': {
              rework: [step('again')],
              'resume-at': 'begin',
              attempts: '2',
              exhausted: 'ask-the-lead',
            },
          },
        ],
      },
      { step: 'shut', read: 'gap' },
      {
        step: 'age',
        do: 'x',
        judge: 'warm',
        'if-nonconforming': {
          rework: [
            step('cool', { changes: { cover: ['on', 'off'] } }),
            step('shut-it', { changes: { cover: ['off', 'on'] } }),
          ],
          'resume-at': 'warm',
          attempts: '2',
          exhausted: 'ask-the-lead',
        },
      },
      { step: 'read', read: 'play' },
      { step: 'stood', judge: 'stood', 'if-nonconforming': remedy },
      step('open', { changes: { cover: ['on', 'off'] } }),
      { step: 'rate', judge: 'rate', 'if-nonconforming': remedy },
      step('close', { changes: { cover: ['off', 'on'] } }),
    ],
  },
  more,
);

/** Readings taken several times, beyond their scale and on a circle, struck and parked in the middle. */
const repeated = packOf(
  {
    readings: {
      gap: length({
        instrument: 'gauge',
        plausible: ['0 mm', '9 mm'],
        repeats: { times: '2', 'agree-within': '1 mm', most: '4' },
      }),
      play: length({
        instrument: 'gauge',
        requires: { cover: 'off' },
        repeats: { times: '2', take: 'highest' },
      }),
      begin: {
        measurand: 'Begin',
        quantity: 'angle',
        unit: '°',
        plausible: ['340°', '380°'],
        circle: '360°',
        repeats: { times: '2' },
      },
    },
    derived: { sum: { is: { '+': [{ var: 'gap' }, { var: 'play' }] } } },
    tolerances: {
      fit: { of: 'gap', between: ['1 mm', '6 mm'], source: 's' },
      low: { of: 'gap', 'at-least': '3 mm', source: 's' },
      both: { of: 'sum', 'at-most': '9 mm', source: 's' },
      near: { of: 'begin', nominal: '0°', deviation: '2°', source: 's' },
      late: { of: 'begin', between: ['350°', '365°'], source: 's' },
    },
    steps: [
      step('open', { changes: { cover: ['on', 'off'] } }),
      {
        step: 'gap',
        read: 'gap',
        judge: 'fit',
        'if-nonconforming': {
          rework: [step('grind')],
          'resume-at': 'gap',
          attempts: '3',
          exhausted: 'ask-the-lead',
        },
        'if-inconclusive': remedy,
      },
      { step: 'again', judge: 'low', 'if-nonconforming': remedy, 'if-inconclusive': remedy },
      {
        step: 'play',
        read: ['play', 'begin'],
        judge: 'both',
        'if-nonconforming': remedy,
        'if-inconclusive': remedy,
      },
      { step: 'begin', judge: 'near', 'if-nonconforming': { hold: 'read-again' } },
      { step: 'late', judge: 'late', 'if-nonconforming': remedy },
      step('knock', { disturbs: 'begin' }),
      { step: 'begin-again', read: 'begin', 'not-applicable': 'lead' },
      step('close', { changes: { cover: ['off', 'on'] } }),
    ],
    parking: { 'only-while': { cover: ['on', 'off'] }, instructions: 'i', 'on-resuming': ['cold'] },
  },
  {
    ...more,
    // Nothing but what conforms leads on.
    holds: {
      ...holds,
      'read-again': { text: 't', release: [{ rework: [], 'resume-at': 'play', times: '3' }] },
    },
    instruments: {
      gauge: { title: 'Gauge', quantity: 'length', range: ['0 mm', '5 mm'], resolution: '0.001 mm' },
    },
  },
);

export const smallProcedures: Readonly<Record<string, Written>> = {
  reworks,
  choices,
  parts: partsAndStrikes,
  turning,
  repeated,
  timed,
  carrying,
};
