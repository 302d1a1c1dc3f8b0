import { describe, expect, test } from 'vitest';
import { resolve } from '../../src/index.ts';
import { validate } from '../../src/validate.ts';
import { engine, faultsOf, holds, length, limits, packOf, type Written } from '../small-pack.ts';

const begin: Written = { step: 'begin', do: 'Begin.' };
const sections: Written = {
  variants: { small: engine, other: { ...engine, title: 'Another' } },
  hazards: { heat: { signal: 'warning', text: 'Hot.' } },
  instruments: {
    wrench: { title: 'Wrench', quantity: 'torque', range: ['5 N·m', '50 N·m'], resolution: '0.5 N·m' },
    gauge: { title: 'Gauge', quantity: 'length', range: ['0 mm', '20 mm'], resolution: '0.01 mm' },
  },
  joints: { clamp: { title: 'Clamp' } },
  operations: { hammer: { title: 'Hammering' } },
  parts: {
    pump: { title: 'Pump', per: 'bore', identity: '"MU"-999' },
    seal: { title: 'Seal', 'single-use': 'yes' },
    plain: { title: 'Plain part', per: 'bore' },
  },
  fields: { hours: { title: 'Hours' } },
  conditions: { cold: { text: 'The engine is cold.' } },
  states: {
    pin: { is: ['in', 'out'], starts: 'out', ends: 'out' },
    clamped: { per: 'bore', is: ['yes', 'no'], starts: 'yes', ends: 'yes' },
  },
};
const names: Written = {
  readings: {
    gap: length(),
    'bore-gap': length({ per: 'bore' }),
    load: length({ quantity: 'torque', unit: 'N·m', plausible: ['0 N·m', '9 N·m'] }),
  },
  observations: {
    look: { text: 'How does it look?', answers: { good: 'Good', bad: 'Bad' }, conforming: ['good'] },
  },
  tolerances: { 'gap-limits': limits('gap'), 'bore-limits': limits('bore-gap') },
};
const asked: Written = Object.fromEntries([
  ...['conditions', 'equipment', 'supplies', 'spares', 'safety'].map((key) => [key, []] as const),
  ['persons', ['technician', 'lead']],
]);
const remedy: Written = { hold: 'ask-the-lead' };
const readGap: Written = { step: 'measure', read: 'gap', judge: 'gap-limits', 'if-nonconforming': remedy };

/** A pack of these steps; what `more` holds stands over the names of the procedure, `others` over the sections. */
const steps = (list: readonly unknown[], more: Written = {}, others: Written = {}): Written =>
  packOf({ ...names, ...more, steps: list }, { ...sections, ...others });
const one = (step: Written, more: Written = {}, others: Written = {}): Written =>
  steps([{ step: 'it', ...step }], more, others);
const inBores = (list: readonly unknown[], more: Written = {}, others: Written = {}): Written =>
  steps([{ each: 'bore', of: 'bores', steps: list }], more, others);
const law = (more: Written): Written => ({ interlocks: [{ law: 'l', says: 'Never.', ...more }] });
const told = (document: Written): readonly string[] =>
  faultsOf(document).map(({ code, pointer }) => `${code} ${pointer}`);

const at = '/procedures/main/steps/0';
type Row = readonly [what: string, document: Written, expected: string];

const unknownNames: readonly Row[] = [
  ['hazard', one({ do: 'x', hazards: ['heat', 'heet'] }), `${at}/hazards/1`],
  ['state in requires', one({ do: 'x', requires: { pinn: 'in' } }), `${at}/requires/pinn`],
  ['state in changes', one({ do: 'x', changes: { pinn: ['in', 'out'] } }), `${at}/changes/pinn`],
  ['state in starts', one({ do: 'x' }, { starts: { pinn: 'in' } }), '/procedures/main/starts/pinn'],
  ['state in ends', one({ do: 'x' }, { ends: { pinn: 'in' } }), '/procedures/main/ends/pinn'],
  [
    'state in a law',
    one({ do: 'x' }, {}, law({ entering: { pinn: 'in' }, 'only-while': { pin: 'in' } })),
    '/interlocks/0/entering/pinn',
  ],
  ['operation of a step', one({ do: 'x', operation: 'hamer' }), `${at}/operation`],
  [
    'operation of a law',
    one({ do: 'x' }, {}, law({ operation: 'hamer', 'only-while': { pin: 'in' } })),
    '/interlocks/0/operation',
  ],
  [
    'operation that a law forbids',
    one({ do: 'x' }, {}, law({ while: { pin: 'in' }, forbid: 'hamer' })),
    '/interlocks/0/forbid',
  ],
  ['mark to turn to', one({ 'turn-to': { mark: 'tdc-fireing', 'proved-by': 'x' } }), `${at}/turn-to/mark`],
  ['mark of the crank', one({ do: 'x', requires: { crank: 'tdc' } }), `${at}/requires/crank`],
  [
    'value of follower',
    inBores([{ step: 'it', do: 'x', requires: { follower: 'on-base' } }]),
    `${at}/steps/0/requires/follower`,
  ],
  ['joint', one({ tighten: { joint: 'clmp', stages: ['slacken'] } }), `${at}/tighten/joint`],
  ['wrench', one({ tighten: { joint: 'clamp', stages: ['9 N·m'], with: 'wrnch' } }), `${at}/tighten/with`],
  ['part to remove', one({ remove: 'seel' }), `${at}/remove`],
  ['part to renew, of several', one({ remove: ['seal', 'seel'] }), `${at}/remove/1`],
  [
    'part to identify',
    inBores([{ step: 'it', identify: { part: 'pomp', as: 'found' } }]),
    `${at}/steps/0/identify/part`,
  ],
  ['field', one({ 'fill-in': 'ours' }), `${at}/fill-in`],
  ['observation', one({ observe: 'lok', 'if-nonconforming': remedy }), `${at}/observe`],
  ['reading', one({ read: 'gab' }), `${at}/read`],
  ['reading, of several', one({ read: ['gap', 'gab'] }), `${at}/read/1`],
  ['tolerance', one({ read: 'gap', judge: 'gap-limit', 'if-nonconforming': remedy }), `${at}/judge`],
  [
    'what a tolerance is of',
    steps([readGap], { tolerances: { 'gap-limits': limits('gapp') } }),
    '/procedures/main/tolerances/gap-limits/of',
  ],
  [
    'name in an expression',
    steps([readGap, { step: 'next', do: 'x', 'only-if': { logic: { '>': [{ var: 'gapp' }, '1 mm'] } } }]),
    '/procedures/main/steps/1/only-if/logic/>/0/var',
  ],
  [
    'hold',
    one({ read: 'gap', judge: 'gap-limits', 'if-nonconforming': { hold: 'ask' } }),
    `${at}/if-nonconforming/hold`,
  ],
  ['hold point', steps([{ hold: 'ask' }]), `${at}/hold`],
  [
    'hold when exhausted',
    one({
      read: 'gap',
      judge: 'gap-limits',
      'if-nonconforming': { rework: [begin], 'resume-at': 'it', attempts: '2', exhausted: 'worn' },
    }),
    `${at}/if-nonconforming/exhausted`,
  ],
  ['role of a witness', one({ do: 'x', witness: 'leed' }), `${at}/witness`],
  ['role of a second person', one({ do: 'x', 'together-with': 'leed' }), `${at}/together-with`],
  ['role that omits', one({ do: 'x', 'not-applicable': 'leed' }), `${at}/not-applicable`],
  [
    'role of a concession',
    steps([readGap], {}, { holds: { 'ask-the-lead': { text: 't', release: [{ concession: 'leed' }] } } }),
    '/holds/ask-the-lead/release/0/concession',
  ],
  [
    'role of a release',
    steps(
      [begin, readGap],
      {},
      {
        holds: {
          'ask-the-lead': {
            text: 't',
            release: [{ rework: [], 'resume-at': 'begin', times: '1', by: 'leed' }],
          },
        },
      },
    ),
    '/holds/ask-the-lead/release/0/by',
  ],
  ['equipment of a step', one({ do: 'x', with: ['hammer'] }), `${at}/with/0`],
  ['procedure', steps([{ perform: 'nothing' }]), `${at}/perform`],
  [
    'given name',
    steps(
      [{ perform: 'inner', given: { end: 'x' } }],
      {},
      { procedures: { inner: { title: 'I', steps: [begin] } } },
    ),
    `${at}/given/end`,
  ],
  ['given condition', one({ do: 'x', 'only-if': { given: { end: 'x' } } }), `${at}/only-if/given/end`],
  ['variant of a condition', one({ do: 'x', 'only-if': { variant: ['smal'] } }), `${at}/only-if/variant/0`],
  [
    'observation of a condition',
    one({ do: 'x', 'only-if': { observed: { lok: 'good' } } }),
    `${at}/only-if/observed/lok`,
  ],
  [
    'answer of a condition',
    steps([
      { step: 'see', observe: 'look', 'if-nonconforming': remedy },
      { step: 'it', do: 'x', 'only-if': { observed: { look: 'fine' } } },
    ]),
    '/procedures/main/steps/1/only-if/observed/look',
  ],
  [
    'conforming answer',
    one(
      { observe: 'look', 'if-nonconforming': remedy },
      { observations: { look: { text: 't', answers: { good: 'G', bad: 'B' }, conforming: ['fine'] } } },
    ),
    '/procedures/main/observations/look/conforming/0',
  ],
  [
    'answer in the order',
    one(
      { observe: 'look' },
      { observations: { look: { text: 't', answers: { good: 'G', bad: 'B' }, order: ['bad', 'fine'] } } },
    ),
    '/procedures/main/observations/look/order/1',
  ],
  ['list of a loop', steps([{ each: 'n', of: 'stop.bores', steps: [begin] }]), `${at}/of`],
  [
    'instrument of a reading',
    one({ read: 'gap' }, { readings: { gap: length({ instrument: 'guage' }) } }),
    '/procedures/main/readings/gap/instrument',
  ],
  [
    'condition',
    one(
      { do: 'x' },
      {
        preliminary: {
          conditions: ['cool'],
          persons: [],
          equipment: [],
          supplies: [],
          spares: [],
          safety: [],
        },
      },
    ),
    '/procedures/main/preliminary/conditions/0',
  ],
  [
    'person',
    one(
      { do: 'x' },
      {
        preliminary: {
          conditions: [],
          persons: ['leed'],
          equipment: [],
          supplies: [],
          spares: [],
          safety: [],
        },
      },
    ),
    '/procedures/main/preliminary/persons',
  ],
  [
    'equipment',
    one(
      { do: 'x' },
      {
        preliminary: {
          conditions: [],
          persons: [],
          equipment: ['stand'],
          supplies: [],
          spares: [],
          safety: [],
        },
      },
    ),
    '/procedures/main/preliminary/equipment/0',
  ],
  [
    'supply',
    one(
      { do: 'x' },
      {
        preliminary: {
          conditions: [],
          persons: [],
          equipment: [],
          supplies: ['oil'],
          spares: [],
          safety: [],
        },
      },
    ),
    '/procedures/main/preliminary/supplies/0',
  ],
  [
    'spare',
    one(
      { do: 'x' },
      {
        preliminary: {
          conditions: [],
          persons: [],
          equipment: [],
          supplies: [],
          spares: ['seel'],
          safety: [],
        },
      },
    ),
    '/procedures/main/preliminary/spares/0',
  ],
  ['condition afterwards', one({ do: 'x' }, { afterwards: ['cool'] }), '/procedures/main/afterwards/0'],
  [
    'condition on resuming',
    one(
      { do: 'x' },
      { parking: { 'only-while': { pin: 'out' }, instructions: 'i', 'on-resuming': ['cool'] } },
    ),
    '/procedures/main/parking/on-resuming/0',
  ],
  [
    'mark of the rotation',
    steps(
      [begin],
      {},
      { variants: { small: { ...engine, rotation: { ...(engine['rotation'] as Written), from: 'tdc' } } } },
    ),
    '/variants/small/rotation/from',
  ],
];

const mistakes: readonly Row[] = [
  // names and where they hold
  [
    'a per-bore state outside a bore',
    one({ do: 'x', requires: { clamped: 'yes' } }),
    `needs-bore ${at}/requires/clamped`,
  ],
  [
    'a per-bore change outside a bore',
    one({ do: 'x', changes: { clamped: ['yes', 'no'] } }),
    `needs-bore ${at}/changes/clamped`,
  ],
  ['a per-bore reading outside a bore', one({ read: 'bore-gap' }), `needs-bore ${at}/read`],
  [
    'a per-bore tolerance outside a bore',
    steps([
      { each: 'bore', of: 'bores', steps: [{ step: 'r', read: 'bore-gap' }] },
      { step: 'j', judge: 'bore-limits', 'if-nonconforming': remedy },
    ]),
    'needs-bore /procedures/main/tolerances/bore-limits/of',
  ],
  [
    'a per-bore reading in an expression',
    steps([
      { each: 'bore', of: 'bores', steps: [{ step: 'r', read: 'bore-gap' }] },
      { step: 'j', do: 'x', 'only-if': { logic: { '>': [{ var: 'bore-gap' }, '1 mm'] } } },
    ]),
    'needs-bore /procedures/main/steps/1/only-if/logic/>/0/var',
  ],
  [
    'the follower outside a bore',
    one({ do: 'x', requires: { follower: 'on-base-circle' } }),
    `needs-bore ${at}/requires/follower`,
  ],
  [
    'a per-bore part outside a bore',
    one({ identify: { part: 'pump', as: 'found' } }),
    `needs-bore ${at}/identify/part`,
  ],
  [
    'a reading that is not exported',
    steps(
      [
        { perform: 'inner', as: 'first' },
        { step: 'j', do: 'x', 'only-if': { logic: { '>': [{ var: 'first.gap' }, '1 mm'] } } },
      ],
      {},
      {
        procedures: {
          inner: { title: 'I', readings: { gap: length() }, steps: [{ step: 'r', read: 'gap' }] },
        },
      },
    ),
    'not-exported /procedures/main/steps/1/only-if/logic/>/0/var',
  ],
  [
    'a procedure that performs itself',
    steps([begin, { perform: 'main' }]),
    'recursive-procedure /procedures/main/steps/1/perform',
  ],
  [
    'what is taken and not given',
    steps(
      [{ perform: 'inner' }],
      {},
      { procedures: { inner: { title: 'I', takes: ['end'], steps: [begin] } } },
    ),
    `missing-key ${at}`,
  ],
  ['two steps of one name', steps([begin, begin]), 'duplicate-name /procedures/main/steps/1/step'],
  [
    'two loops of one name',
    steps([
      { each: 'bore', of: 'bores', steps: [begin] },
      { each: 'bore', of: 'bores', steps: [begin] },
    ]),
    'duplicate-name /procedures/main/steps/1/each',
  ],
  [
    'two laws of one name',
    one(
      { do: 'x' },
      {},
      {
        interlocks: [
          { law: 'l', says: 's', while: { pin: 'in' }, forbid: 'turn-crank' },
          { law: 'l', says: 't', while: { pin: 'in' }, forbid: 'turn-crank' },
        ],
      },
    ),
    'duplicate-name /interlocks/1/law',
  ],
  ['a place-holder that nothing fills', one({ do: 'Set bore {bor}.' }), `unknown-place-holder ${at}/do`],
  [
    'a place-holder in the words of an answer that nothing fills',
    one(
      { observe: 'look' },
      { observations: { look: { text: 't', answers: { good: 'Bore {bor}', bad: 'b' } } } },
    ),
    'unknown-place-holder /procedures/main/observations/look/answers/good',
  ],
  [
    'a place-holder for a fact that the variant has not',
    one({ do: 'Paint it {variant.color}.' }),
    `unknown-place-holder ${at}/do`,
  ],
  [
    'a tolerance of a reading that no step takes',
    steps([{ step: 'j', judge: 'gap-limits', 'if-nonconforming': remedy }]),
    'never-taken /procedures/main/tolerances/gap-limits/of',
  ],
  [
    'a condition on what no step takes',
    one({ do: 'x', 'only-if': { logic: { '>': [{ var: 'gap' }, '1 mm'] } } }),
    `never-taken ${at}/only-if/logic/>/0`,
  ],
  [
    'an observation that comes later',
    steps([
      { step: 'it', do: 'x', 'only-if': { observed: { look: 'good' } } },
      { step: 'see', observe: 'look', 'if-nonconforming': remedy },
    ]),
    `never-taken ${at}/only-if/observed/look`,
  ],
  [
    'a reading disturbed before it is taken',
    steps([{ step: 'it', do: 'x', disturbs: 'gap' }, readGap]),
    `never-taken ${at}/disturbs`,
  ],
  [
    'an observation disturbed',
    steps([
      { step: 'see', observe: 'look', 'if-nonconforming': remedy },
      { step: 'it', do: 'x', disturbs: 'look' },
    ]),
    'wrong-form /procedures/main/steps/1/disturbs',
  ],
  // values
  [
    'a second statement that does not agree',
    steps([readGap], {
      tolerances: { 'gap-limits': { of: 'gap', 'at-most': '1.0 mm (.05 in)', source: 's' } },
    }),
    'dual-disagrees /procedures/main/tolerances/gap-limits/at-most',
  ],
  [
    'limits the wrong way round',
    steps([readGap], { tolerances: { 'gap-limits': { of: 'gap', between: ['2 mm', '1 mm'], source: 's' } } }),
    'reversed-pair /procedures/main/tolerances/gap-limits/between',
  ],
  [
    'a deviation with a sign',
    steps([readGap], {
      tolerances: { 'gap-limits': { of: 'gap', nominal: '1 mm', plus: '-1 mm', minus: '1 mm', source: 's' } },
    }),
    'reversed-pair /procedures/main/tolerances/gap-limits/plus',
  ],
  [
    'a plausible range the wrong way round',
    one({ read: 'gap' }, { readings: { gap: length({ plausible: ['10 mm', '0 mm'] }) } }),
    'reversed-pair /procedures/main/readings/gap/plausible',
  ],
  [
    'a range of an instrument the wrong way round',
    steps(
      [readGap],
      { readings: { gap: length({ instrument: 'gauge' }) } },
      {
        instruments: {
          gauge: { title: 'G', quantity: 'length', range: ['9 mm', '1 mm'], resolution: '1 mm' },
        },
      },
    ),
    'reversed-pair /instruments/gauge/range',
  ],
  [
    'a limit of another kind',
    steps([readGap], { tolerances: { 'gap-limits': { of: 'gap', 'at-most': '1 N·m', source: 's' } } }),
    'wrong-quantity /procedures/main/tolerances/gap-limits/at-most',
  ],
  [
    'a limit without a unit',
    steps([readGap], { tolerances: { 'gap-limits': { of: 'gap', 'at-most': '1', source: 's' } } }),
    'bad-quantity /procedures/main/tolerances/gap-limits/at-most',
  ],
  [
    'a fact that the variant has not, as a limit',
    steps([readGap], {
      tolerances: { 'gap-limits': { of: 'gap', 'at-most': 'variant.gap-top', source: 's' } },
    }),
    'unknown-name /procedures/main/tolerances/gap-limits/at-most',
  ],
  [
    'a unit of another kind',
    one({ read: 'gap' }, { readings: { gap: length({ unit: 'bar' }) } }),
    'wrong-quantity /procedures/main/readings/gap/unit',
  ],
  [
    'no unit',
    one(
      { read: 'gap' },
      { readings: { gap: { measurand: 'Gap', quantity: 'length', plausible: ['0 mm', '1 mm'] } } },
    ),
    'wrong-quantity /procedures/main/readings/gap',
  ],
  [
    'an instrument of another kind',
    one({ read: 'gap' }, { readings: { gap: length({ instrument: 'wrench' }) } }),
    'wrong-quantity /procedures/main/readings/gap/instrument',
  ],
  [
    'a tolerance of an observation',
    steps(
      [
        { step: 'see', observe: 'look', 'if-nonconforming': remedy },
        { step: 'j', judge: 'l', 'if-nonconforming': remedy },
      ],
      { tolerances: { l: limits('look') } },
    ),
    'wrong-quantity /procedures/main/tolerances/l/of',
  ],
  [
    'a tolerance of a derived text',
    steps(
      [
        { step: 'see', observe: 'look', 'if-nonconforming': remedy },
        { step: 'j', judge: 'l', 'if-nonconforming': remedy },
      ],
      { derived: { d: { is: { var: 'look' } } }, tolerances: { l: limits('d') } },
    ),
    'wrong-quantity /procedures/main/derived/d/is',
  ],
  [
    'lengths and torques compared',
    steps([readGap, { step: 'next', do: 'x', 'only-if': { logic: { '>': [{ var: 'gap' }, '1 N·m'] } } }]),
    'bad-expression /procedures/main/steps/1/only-if/logic/>/1',
  ],
  [
    'an operator that is not in the subset',
    steps([readGap, { step: 'next', do: 'x', 'only-if': { logic: { cat: [{ var: 'gap' }, '1 mm'] } } }]),
    'bad-expression /procedures/main/steps/1/only-if/logic',
  ],
  [
    'a derived value of itself',
    steps([readGap, { step: 'j', judge: 'l', 'if-nonconforming': remedy }], {
      derived: { d: { is: { difference: ['gap', 'd'] } } },
      tolerances: { 'gap-limits': limits('gap'), l: limits('d') },
    }),
    'bad-expression /procedures/main/derived/d/is/difference/1',
  ],
  [
    'a shape with an open quote',
    one({ 'fill-in': 'hours' }, {}, { fields: { hours: { title: 'H', shape: '"MU' } } }),
    'bad-shape /fields/hours/shape',
  ],
  [
    'a serial number of a part that has none',
    inBores([{ step: 'it', identify: { part: 'plain', as: 'found' } }]),
    `no-identity /parts/plain`,
  ],
  [
    'a torque beyond its wrench',
    one({ tighten: { joint: 'clamp', stages: ['slacken', '51 N·m'], with: 'wrench' } }),
    `beyond-instrument ${at}/tighten/with`,
  ],
  [
    'a torque without a wrench',
    one({ tighten: { joint: 'clamp', stages: ['9 N·m'] } }),
    `missing-key ${at}/tighten`,
  ],
  [
    'a wrench that measures lengths',
    one({ tighten: { joint: 'clamp', stages: ['9 N·m'], with: 'gauge' } }),
    `wrong-quantity ${at}/tighten/with`,
  ],
  [
    'a stage that is no torque',
    one({ tighten: { joint: 'clamp', stages: ['9 mm'], with: 'wrench' } }),
    `wrong-quantity ${at}/tighten/stages/0`,
  ],
  ['an angle for a time', one({ wait: '90°' }), `wrong-quantity ${at}/wait`],
  ['a time for an angle', one({ turn: '90 s' }), `wrong-quantity ${at}/turn`],
  // states
  [
    'a value that a state never has',
    one({ do: 'x', requires: { pin: 'inside' } }),
    `wrong-value ${at}/requires/pin`,
  ],
  [
    'a value of a list that a state never has',
    one({ do: 'x', requires: { pin: ['in', 'inside'] } }),
    `wrong-value ${at}/requires/pin/1`,
  ],
  [
    'a change from what it never is',
    one({ do: 'x', changes: { pin: ['inside', 'out'] } }),
    `wrong-value ${at}/changes/pin/0`,
  ],
  [
    'a change to what it never is',
    one({ do: 'x', changes: { pin: ['in', 'outside'] } }),
    `wrong-value ${at}/changes/pin/1`,
  ],
  ['a change to itself', one({ do: 'x', changes: { pin: ['in', 'in'] } }), `wrong-value ${at}/changes/pin`],
  [
    'a change to several values',
    one({ do: 'x', changes: { pin: ['in', ['out', 'in']] } }),
    `wrong-form ${at}/changes/pin/1`,
  ],
  [
    'a start that is no value',
    one({ do: 'x' }, { starts: { pin: 'inside' } }),
    'wrong-value /procedures/main/starts/pin',
  ],
  [
    'an end that is no value',
    one({ do: 'x' }, { ends: { pin: 'inside' } }),
    'wrong-value /procedures/main/ends/pin',
  ],
  [
    'a declared start that is no value',
    one({ do: 'x' }, {}, { states: { pin: { is: ['in', 'out'], starts: 'outside', ends: 'out' } } }),
    'wrong-value /states/pin/starts',
  ],
  [
    'a quantifier with a value',
    one({ do: 'x', requires: { 'every-bore': 'clamped' } }),
    `wrong-form ${at}/requires/every-bore`,
  ],
  ['a state with a map', one({ do: 'x', requires: { pin: { is: 'in' } } }), `wrong-form ${at}/requires/pin`],
  [
    'a change without an act',
    one({ read: 'gap', changes: { pin: ['out', 'in'] } }),
    `change-without-act ${at}`,
  ],
  // steps
  ['two verbs', one({ turn: '90°', wait: '3 s' }), `several-verbs ${at}/wait`],
  ['no verb', one({ title: 'Nothing' }), `no-verb ${at}`],
  [
    'two verdicts',
    one({ read: 'gap', observe: 'look', judge: 'gap-limits', 'if-nonconforming': remedy }),
    `several-checks ${at}/judge`,
  ],
  ['no remedy for a tolerance', one({ read: 'gap', judge: 'gap-limits' }), `no-remedy ${at}`],
  ['no remedy for an answer', one({ observe: 'look' }), `no-remedy ${at}`],
  [
    'no remedy for a part',
    inBores([
      { step: 'f', identify: { part: 'pump', as: 'found' } },
      { step: 'it', identify: { part: 'pump', as: 'fitted' } },
    ]),
    `no-remedy ${at}/steps/1`,
  ],
  [
    'a remedy for nothing',
    one({ read: 'gap', 'if-nonconforming': remedy }),
    `needless-remedy ${at}/if-nonconforming`,
  ],
  [
    'sides of an answer',
    one({ observe: 'look', 'if-nonconforming': { 'when-high': remedy, 'when-low': remedy } }),
    `wrong-form ${at}/if-nonconforming`,
  ],
  [
    'a rework that resumes later',
    steps([
      {
        ...readGap,
        'if-nonconforming': { rework: [begin], 'resume-at': 'later', attempts: '2', exhausted: 'worn-out' },
      },
      { step: 'later', do: 'x' },
    ]),
    `resume-at ${at}/if-nonconforming/resume-at`,
  ],
  [
    'a rework that resumes in another block',
    steps([
      begin,
      {
        block: 'b',
        steps: [
          {
            ...readGap,
            'if-nonconforming': {
              rework: [{ step: 'undo', do: 'x' }],
              'resume-at': 'begin',
              attempts: '2',
              exhausted: 'worn-out',
            },
          },
        ],
      },
    ]),
    'resume-at /procedures/main/steps/1/steps/0/if-nonconforming/resume-at',
  ],
  [
    'a release that resumes nowhere',
    steps(
      [readGap],
      {},
      {
        holds: {
          'ask-the-lead': { text: 't', release: [{ rework: [], 'resume-at': 'nowhere', times: '1' }] },
        },
      },
    ),
    'resume-at /holds/ask-the-lead/release/0/resume-at',
  ],
  [
    'a concession of a safety hold',
    steps(
      [readGap],
      {},
      { holds: { 'ask-the-lead': { text: 't', safety: 'yes', release: [{ concession: 'lead' }] } } },
    ),
    'safety-concession /holds/ask-the-lead/release/0/concession',
  ],
  [
    'a concession of a hold point',
    steps([begin, { hold: 'ask-the-lead' }]),
    'wrong-form /holds/ask-the-lead/release/0/concession',
  ],
  [
    'a witness of a result',
    steps([readGap], {}, { holds: { 'ask-the-lead': { text: 't', release: [{ witness: 'lead' }] } } }),
    'wrong-form /holds/ask-the-lead/release/0/witness',
  ],
  [
    'a way back from a strike where nothing is taken',
    one({ do: 'x', 'if-struck': remedy }),
    `needless-remedy ${at}/if-struck`,
  ],
  [
    'a concession of what was struck',
    one({ read: 'gap', 'if-struck': remedy }),
    `wrong-form ${at}/if-struck/hold`,
  ],
  [
    'too many attempts',
    steps([
      begin,
      {
        ...readGap,
        'if-nonconforming': {
          rework: [{ step: 'undo', do: 'x' }],
          'resume-at': 'begin',
          attempts: '201',
          exhausted: 'worn-out',
        },
      },
    ]),
    'wrong-value /procedures/main/steps/1/if-nonconforming/attempts',
  ],
  [
    'too many steps',
    steps([
      {
        each: 'a',
        of: Array.from({ length: 200 }, (_, i) => `a${i}`),
        steps: [{ each: 'b', of: Array.from({ length: 200 }, (_, i) => `b${i}`), steps: [begin] }],
      },
    ]),
    `too-many-steps ${at}/steps/0`,
  ],
  ['a wait of no time', one({ wait: '0 min' }), `wrong-value ${at}/wait`],
  ['a wait that is over before', one({ wait: '-3 min' }), `wrong-value ${at}/wait`],
  [
    'a bore twice in one loop',
    steps([{ each: 'bore', of: ['1', '2', '1'], steps: [begin] }]),
    `duplicate-name ${at}/of/2`,
  ],
  [
    'a witness whom nobody asks for',
    one({ do: 'x', witness: 'second' }, { preliminary: asked }),
    `unasked-role ${at}/witness`,
  ],
  [
    'a second person whom nobody asks for',
    one({ do: 'x', 'together-with': 'second' }, { preliminary: asked }),
    `unasked-role ${at}/together-with`,
  ],
];

/** As many marks as are asked for, two degrees and less apart; `engine` has two of its own and two stops besides. */
const marks = (count: number): Written =>
  Object.fromEntries(
    Array.from({ length: count }, (_, i) => [`m-${i}`, { at: `${i + 1}.5°`, title: `Mark ${i}` }]),
  );
const withMarks = (count: number): Written => ({
  ...engine,
  marks: { ...(engine['marks'] as Written), ...marks(count) },
});
const visiting = (sequence: unknown): Written => ({
  ...engine,
  rotation: { ...(engine['rotation'] as Written), sequence },
});

const crank: readonly Row[] = [
  [
    'more cylinders than are followed',
    { ...engine, cylinders: '33' },
    'crank-data /variants/small/cylinders',
  ],
  ['more positions than fit', withMarks(251), 'crank-data /variants/small'],
  [
    'a firing order of other cylinders, and no span',
    {
      title: 'x',
      cylinders: '3',
      'firing-order': ['1', '2', '4'],
      'running-direction': 'c',
      marks: engine['marks'],
    },
    'crank-data /variants/small/firing-order',
  ],
  [
    'a rotation to a bore that is not there',
    visiting(['3', '2', '1', '4']),
    'crank-data /variants/small/rotation/sequence',
  ],
  ['a rotation that leaves a bore out', visiting(['3', '2']), 'crank-data /variants/small/rotation/sequence'],
  [
    'a firing order without a cylinder',
    { ...engine, 'firing-order': ['1', '2'] },
    'crank-data /variants/small/firing-order',
  ],
  [
    'a firing order with a cylinder twice',
    { ...engine, 'firing-order': ['1', '2', '2'] },
    'crank-data /variants/small/firing-order',
  ],
  [
    'a span longer than the cycle',
    { ...engine, 'off-base': { before: '400°', after: '400°' } },
    'crank-data /variants/small/off-base',
  ],
  [
    'a mark beyond the cycle',
    { ...engine, marks: { ...(engine['marks'] as Written), top: { at: '720°', title: 'T' } } },
    'crank-data /variants/small/marks/top/at',
  ],
  [
    'a rotation without a firing order',
    {
      title: 'x',
      cylinders: '3',
      'running-direction': 'c',
      marks: engine['marks'],
      rotation: engine['rotation'],
    },
    'crank-data /variants/small/rotation',
  ],
  [
    'no stop that is free',
    { ...engine, rotation: { ...(engine['rotation'] as Written), stops: [{ at: '0°', 'held-by': 'x' }] } },
    'no-rotation-plan /variants/small/rotation',
  ],
  [
    'stops that are not accurate enough',
    { ...engine, rotation: { ...(engine['rotation'] as Written), accuracy: '200°' } },
    'crank-data /variants/small/rotation/accuracy',
  ],
  ['an angle that is a length', { ...engine, cycle: '720 mm' }, 'wrong-quantity /variants/small/cycle'],
].map(([what, variant, expected]) => [
  String(what),
  steps([begin], {}, { variants: { small: variant } }),
  String(expected),
]);

const withoutCrank: Written = { variants: { small: { title: 'No engine data' } } };
const missing: readonly Row[] = [
  ['bores', steps([{ each: 'bore', of: 'bores', steps: [begin] }], {}, withoutCrank), `no-crank ${at}/of`],
  [
    'a bore that the engine has not',
    steps([{ each: 'bore', of: ['1', '7'], steps: [begin] }]),
    `unknown-name ${at}/of/1`,
  ],
  [
    'a rotation plan',
    steps([{ each: 'stop', of: 'plan.stops', steps: [begin] }], {}, withoutCrank),
    `no-rotation-plan ${at}/of`,
  ],
  [
    'a quantified bore',
    one({ do: 'x', requires: { 'every-bore': { clamped: 'yes' } } }, {}, withoutCrank),
    `needs-bore ${at}/requires/every-bore`,
  ],
  [
    'a mark',
    one({ 'turn-to': { mark: 'tdc-firing', 'proved-by': 'x' } }, {}, withoutCrank),
    `unknown-name ${at}/turn-to/mark`,
  ],
];

test('the pack around these mistakes is without one', () => {
  expect(told(steps([begin, readGap, { step: 'see', observe: 'look', 'if-nonconforming': remedy }]))).toEqual(
    [],
  );
  expect(holds).toHaveProperty('ask-the-lead');
});

test('procedures that perform one another a thousand deep are refused, each way in', () => {
  const procedures = Object.fromEntries(
    Array.from({ length: 1000 }, (_, i) => [
      `p-${i}`,
      { title: 'P', steps: i === 999 ? [begin] : [{ perform: `p-${i + 1}` }] },
    ]),
  );
  const { pack } = validate({
    ...steps([{ perform: 'p-0' }]),
    procedures: { main: { title: 'M', steps: [{ perform: 'p-0' }] }, ...procedures },
  });
  if (pack === undefined) throw new Error('the pack is not in form');
  const { plan, diagnostics } = resolve(pack, { procedure: 'main', variant: 'small' });
  expect(plan).toBeUndefined();
  expect(diagnostics.map((one) => one.code)).toEqual(['too-many-steps']);
});

describe('a name that is not declared is reported once, where it stands', () => {
  test.each(unknownNames)('%s', (_, document, pointer) => {
    expect(told(document)).toEqual([`unknown-name ${pointer}`]);
  });
});

describe('a mistake of an author is reported once, over two variants and every bore', () => {
  test.each(mistakes)('%s', (_, document, expected) => {
    expect(told(document)).toEqual([expected]);
  });
});

describe('data of the crank', () => {
  test('as many positions as one byte tells apart', () => {
    expect(told(steps([begin], {}, { variants: { small: withMarks(250) } }))).toEqual([]);
  });
  test('too many cylinders are one fault, whatever loops over the bores', () => {
    const many = { small: { ...engine, cylinders: '999' } };
    expect(told(steps([{ each: 'bore', of: 'bores', steps: [begin] }], {}, { variants: many }))).toEqual([
      'crank-data /variants/small/cylinders',
    ]);
  });
  test.each([...crank, ...missing])('%s', (_, document, expected) => {
    expect([...new Set(told(document))]).toEqual([expected]);
  });
});

describe('what is wrong in a derived value is said there, whatever uses it', () => {
  const wide = { logic: { '>': [{ var: 'wide' }, '1 mm'] } };
  const inside = '/procedures/main/derived/wide/is';
  const uses = (is: unknown, readings: Written = {}): Written =>
    steps([readGap, { step: 'a', do: 'x', 'only-if': { logic: { '!': [wide.logic] } } }], {
      readings: { ...(names['readings'] as Written), ...readings },
      derived: { wide: { is }, part: { is: { difference: ['gap', '5 N·m'] } } },
    });
  test.each<readonly [what: string, document: Written, expected: string]>([
    ['a wrong kind', uses({ difference: ['gap', '5 N·m'] }), `bad-expression ${inside}/difference`],
    [
      'a wrong kind further in',
      uses({ '+': [{ var: 'gap' }, { '-': [{ var: 'gap' }, '5 N·m'] }] }),
      `bad-expression ${inside}/+/1/-`,
    ],
    [
      'in a derived value of it',
      uses({ var: 'part' }),
      'bad-expression /procedures/main/derived/part/is/difference',
    ],
    ['a name', uses({ difference: ['gap', 'gapp'] }), `unknown-name ${inside}/difference/1`],
    ['a name in logic', uses({ '-': [{ var: 'gap' }, { var: 'gapp' }] }), `unknown-name ${inside}/-/1/var`],
    ['what no step takes', uses({ difference: ['gap', 'load'] }), `never-taken ${inside}/difference/1`],
  ])('%s', (_, document, expected) => {
    expect(told(document)).toEqual([expected]);
  });

  test('what no step takes has a step to add', () => {
    const remedies = (is: unknown) => faultsOf(uses(is)).map((one) => one.remedy);
    expect(remedies({ difference: ['gap', 'load'] })).toEqual(['Read it in a step before: read: load.']);
    const looks = one({ do: 'x', 'only-if': { logic: { '==': [{ var: 'look' }, 'good'] } } });
    expect(faultsOf(looks).map((fault) => fault.remedy)).toEqual([
      'Read it in a step before: observe: look.',
    ]);
  });
});

describe('a fact that is not right in one of two variants', () => {
  const facts = { 'gap-low': '1.0 mm', 'gap-high': '2.0 mm' };
  const two = (other: Written): Written => ({
    variants: { small: engine, other: { ...engine, facts: other } },
  });
  const limit = (text: string): Written => ({
    tolerances: { 'gap-limits': { of: 'gap', 'at-most': text, source: 's' } },
  });
  const used = '/procedures/main/tolerances/gap-limits/at-most';

  test('is missing: said at its use, with the variant and the name that was meant', () => {
    const document = steps(
      [readGap],
      limit('variant.gap-high'),
      two({ 'gap-low': '1.0 mm', 'gap-hihg': '2 mm' }),
    );
    expect(faultsOf(document)).toMatchObject([
      {
        code: 'unknown-name',
        pointer: used,
        message: 'There is no fact gap-high in other.',
        remedy: 'Did you mean gap-hihg?',
        other: [{ pointer: '/variants/other/facts' }],
      },
    ]);
  });

  test('is missing in an expression and in the stages of a joint', () => {
    const document = steps(
      [
        readGap,
        { step: 'a', do: 'x', 'only-if': { logic: { '>': [{ var: 'gap' }, { var: 'variant.gap-high' }] } } },
        {
          step: 'b',
          do: 'x',
          'only-if': { logic: { '>': [{ lowest: ['gap', 'variant.gap-high'] }, '1 mm'] } },
        },
        { step: 'c', tighten: { joint: 'clamp', stages: ['variant.gap-high'], with: 'wrench' } },
      ],
      {},
      two({ 'gap-low': '1.0 mm' }),
    );
    const missing = faultsOf(document).filter((one) => one.message === 'There is no fact gap-high in other.');
    expect(missing.map((one) => one.pointer.replace('/procedures/main/steps/', ''))).toEqual([
      '1/only-if/logic/>/1/var',
      '2/only-if/logic/>/0/lowest/1',
      '3/tighten/stages/0',
    ]);
    expect(faultsOf(document).map((one) => one.code)).not.toContain('never-taken');
  });

  test.each([
    ['of another kind', '2 N·m', 'wrong-quantity'],
    ['no quantity', 'two', 'bad-quantity'],
    ['stated twice, and not alike', '2.0 mm (0.093 in)', 'dual-disagrees'],
  ])('is %s: said at the fact, with its use', (_, text, code) => {
    const found = faultsOf(steps([readGap], limit('variant.gap-high'), two({ ...facts, 'gap-high': text })));
    expect(found).toMatchObject([
      { code, pointer: '/variants/other/facts/gap-high', other: [{ pointer: used }] },
    ]);
    expect(found[0]?.message).toMatch(/^gap-high of other: /);
  });
});

test('inside a loop over the bores a mistake is said once, not once a bore', () => {
  const hold = { text: 't', release: [{ rework: [], 'resume-at': 'nowhere', times: '1' }] };
  const measure = {
    step: 'it',
    read: 'bore-gap',
    judge: 'bore-limits',
    'if-nonconforming': { hold: 'ask-the-lead' },
  };
  expect(told(inBores([measure], {}, { holds: { 'ask-the-lead': hold } }))).toEqual([
    'resume-at /holds/ask-the-lead/release/0/resume-at',
  ]);
  expect(told(inBores([{ step: 'j', judge: 'bore-limits', 'if-nonconforming': remedy }]))).toEqual([
    'never-taken /procedures/main/tolerances/bore-limits/of',
  ]);
});

test('where work can resume is said without the rounds of a loop, which nobody can name', () => {
  const measure = {
    step: 'it',
    read: 'bore-gap',
    judge: 'bore-limits',
    'if-nonconforming': { hold: 'worn' },
  };
  const worn = { text: 't', release: [{ rework: [], 'resume-at': 'nowhere-near', times: '1' }] };
  const inside = {
    each: 'bore',
    of: 'bores',
    id: 'round',
    steps: [{ step: 'begin', do: 'Begin.' }, measure],
  };
  const [fault] = faultsOf(steps([{ step: 'open', do: 'Open it.' }, inside], {}, { holds: { worn } }));
  expect(fault?.remedy).toBe('It can resume at begin, it, open, round.');
});

test('a name is unknown together with what was probably meant', () => {
  const [fault] = faultsOf(one({ do: 'x', requires: { pinn: 'in' } }));
  expect(fault?.remedy).toBe('Did you mean pin?');
  expect(faultsOf(one({ do: 'x', requires: { pin: 'inn' } }))[0]?.remedy).toBe('Did you mean in?');
});

test('two procedures that perform each other are reported in both', () => {
  const inner = { title: 'I', steps: [{ perform: 'main' }] };
  expect(told(steps([{ perform: 'inner' }], {}, { procedures: { inner } }))).toEqual([
    'recursive-procedure /procedures/inner/steps/0/perform',
    `recursive-procedure ${at}/perform`,
  ]);
});
