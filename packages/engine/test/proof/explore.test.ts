import { describe, expect, test } from 'vitest';
import { type Exploration, explore, type Refutation } from '../../src/proof/index.ts';
import { holds, length, limits, packOf, planOf, type Written } from '../small-pack.ts';

const step = (id: string, more: Written = {}): Written => ({ step: id, do: 'x', ...more });
const states = {
  pin: { is: ['in', 'out'], starts: 'out', ends: ['in', 'out'] },
  pump: { per: 'bore', is: ['absent', 'set'], starts: 'absent', ends: ['absent', 'set'] },
};
const interlocks = [
  { law: 'pin-out-to-turn', says: 'The pin is in.', while: { pin: 'in' }, forbid: 'turn-crank' },
  {
    law: 'set-on-base',
    says: 'Its follower is lifted.',
    operation: 'set-pump',
    'only-while': { follower: 'on-base-circle' },
  },
  { law: 'never-in-and-set', says: 'Never.', never: { pin: 'in', 'any-bore': { pump: 'set' } } },
];
const sections: Written = {
  states,
  interlocks,
  operations: { 'set-pump': { title: 'Setting' } },
  parts: {
    seal: { title: 'Seal', 'single-use': 'yes' },
    pump: { title: 'Pump', per: 'bore', identity: 'A9' },
  },
};
const proved = (steps: readonly unknown[], more: Written = {}, others: Written = {}): Exploration =>
  explore(
    planOf(
      packOf(
        {
          readings: { gap: length() },
          tolerances: { fit: limits('gap') },
          observations: { look: { text: 't', answers: { good: 'G', bad: 'B' } } },
          ...more,
          steps,
        },
        { ...sections, ...others },
      ),
    ),
  );
function what(one: Refutation): string {
  switch (one.property) {
    case 'goes-on':
    case 'one-case':
      return `${one.property} ${one.node}`;
    case 'judged':
      return `judged ${one.entry}${one.atEnd ? '' : ` at ${one.node}`}`;
    default: {
      const { because } = one.guard;
      const where = one.property === 'law' ? `${one.node} ` : '';
      return `${one.property} ${where}${because.guard === 'interlock' ? because.law : because.guard}`;
    }
  }
}
const trace = (one: Refutation | undefined): readonly string[] =>
  one?.trace.map(({ node, signal }) => `${node} ${'outcome' in signal ? signal.outcome : signal.signal}`) ??
  [];

const pinIn = step('pin-in', { changes: { pin: ['out', 'in'] } });
const pinOut = step('pin-out', { changes: { pin: ['in', 'out'] } });
const turn: Written = { step: 'turn', turn: '360°' };
const toTdc: Written = { step: 'to-tdc', 'turn-to': { mark: 'tdc-exhaust', 'proved-by': 'x' } };
const setPump = (bore: string): Written => ({
  each: 'bore',
  of: [bore],
  id: `for-${bore}`,
  steps: [step('set', { operation: 'set-pump', changes: { pump: ['absent', 'set'] } })],
});
const measure = (outcome: unknown): Written => ({
  step: 'measure',
  read: 'gap',
  judge: 'fit',
  'if-nonconforming': outcome,
});

describe('a plan without a fault', () => {
  test.each<readonly [string, readonly unknown[]]>([
    ['a turn between taking the pin in and out', [toTdc, pinIn, pinOut, turn]],
    // On base at TDC on exhaust: bores 1 and 2 (see the engine of the small pack).
    ['a pump set on its base circle', [toTdc, setPump('1'), setPump('2')]],
    [
      'a single-use part renewed',
      [
        { step: 'off', remove: 'seal' },
        { step: 'on', renew: 'seal' },
      ],
    ],
    [
      'a rework that undoes what it has to',
      [
        pinIn,
        measure({
          rework: [step('undo', { changes: { pin: ['in', 'out'] } })],
          'resume-at': 'pin-in',
          attempts: '3',
          exhausted: 'worn-out',
        }),
        pinOut,
        turn,
      ],
    ],
    [
      'a pin that is taken out where it is in',
      [
        { step: 'see', observe: 'look' },
        { ...pinIn, 'only-if': { observed: { look: 'good' } } },
        { ...pinOut, 'only-if': { state: { pin: 'in' } } },
        turn,
      ],
    ],
  ])('%s is not refuted', (_, steps) => {
    expect(proved(steps)).toMatchObject({
      refutations: [],
      reachesEnd: true,
      cutShort: false,
      unreached: [],
    });
  });
});

describe('a fault is refuted by a shortest way there', () => {
  test.each<readonly [string, Exploration, string, readonly string[]]>([
    [
      'turning with the pin in',
      proved([toTdc, pinIn, turn]),
      'law turn pin-out-to-turn',
      ['to-tdc done', 'pin-in done'],
    ],
    [
      'a pump off its base circle',
      proved([toTdc, setPump('3')]),
      'law for-3.bore=3/set set-on-base',
      ['to-tdc done'],
    ],
    [
      'a pump set while the crank is anywhere',
      proved([toTdc, { step: 'free', 'turn-until': 'It is free.' }, setPump('1')]),
      'law for-1.bore=1/set set-on-base',
      ['to-tdc done', 'free done'],
    ],
    [
      'a pump set after the engine has run',
      proved([toTdc, step('run', { 'loses-crank': 'yes' }), setPump('1')]),
      'law for-1.bore=1/set set-on-base',
      ['to-tdc done', 'run done'],
    ],
    [
      'a pump set a quarter turn on',
      proved([toTdc, { step: 'turn', turn: '90°' }, setPump('1')]),
      'law for-1.bore=1/set set-on-base',
      ['to-tdc done', 'turn done'],
    ],
    [
      'two states that never hold together',
      proved([toTdc, setPump('1'), pinIn]),
      'law pin-in never-in-and-set',
      ['to-tdc done', 'for-1.bore=1/set done'],
    ],
    [
      'a change from what is not',
      proved([pinIn, step('x'), pinIn].map((one, i) => (i === 2 ? { ...one, step: 'again' } : one))),
      'law again change-from',
      ['pin-in done', 'x done'],
    ],
    [
      'what a step requires',
      proved([step('x'), step('needs', { requires: { pin: 'in' } })]),
      'law needs requirement',
      ['x done'],
    ],
    [
      'what a reading requires',
      proved([{ step: 'm', read: 'gap' }], {
        readings: { gap: length({ requires: { pin: 'in' } }) },
        tolerances: {},
      }),
      'law m requirement',
      [],
    ],
    [
      'an end that is not as declared',
      proved([step('x'), pinIn], { ends: { pin: 'out' } }),
      'ends ends',
      ['x done', 'pin-in done'],
    ],
    [
      'a single-use part that is not renewed',
      proved([{ step: 'off', remove: 'seal' }]),
      'ends ends',
      ['off done'],
    ],
    ['a part renewed that is still on', proved([{ step: 'on', renew: 'seal' }]), 'law on requirement', []],
    [
      'a part removed twice',
      proved([
        { step: 'off', remove: 'seal' },
        { step: 'off-again', remove: 'seal' },
        { step: 'on', renew: 'seal' },
      ]),
      'law off-again requirement',
      ['off done'],
    ],
    [
      'a reading disturbed and not taken again',
      proved([{ step: 'm', read: 'gap' }, step('knock', { disturbs: 'gap' })]),
      'ends ends',
      ['m recorded', 'knock done'],
    ],
    [
      'a verdict on what was disturbed',
      proved([
        { step: 'm', read: 'gap' },
        step('knock', { disturbs: 'gap' }),
        { step: 'j', judge: 'fit', 'if-nonconforming': { hold: 'ask-the-lead' } },
      ]),
      'goes-on j',
      ['m recorded', 'knock done'],
    ],
    [
      'a choice without a true case',
      proved([pinIn, { choose: 'which', cases: [{ when: { state: { pin: 'out' } }, steps: [turn] }] }]),
      'goes-on which',
      ['pin-in done'],
    ],
    [
      'a choice with two true cases',
      proved([
        {
          choose: 'which',
          cases: [
            { when: { state: { pin: 'out' } }, steps: [turn] },
            { when: { state: { pin: ['in', 'out'] } }, steps: [step('x')] },
          ],
        },
      ]),
      'goes-on which',
      [],
    ],
    [
      'a condition on what may be left out',
      proved([
        { step: 'see', observe: 'look', 'not-applicable': 'lead' },
        step('a', { 'only-if': { observed: { look: 'good' } } }),
      ]),
      'goes-on a',
      ['see omitted'],
    ],
    [
      'a pin left in by a rework',
      proved([
        measure({ rework: [pinIn], 'resume-at': 'measure', attempts: '2', exhausted: 'worn-out' }),
        turn,
      ]),
      'law turn pin-out-to-turn',
      [
        'measure recorded',
        'measure high',
        'measure/if-nonconforming/pin-in done',
        'measure recorded',
        'measure conforming',
      ],
    ],
    [
      'a step left out that takes the pin out',
      proved([
        pinIn,
        { ...measure({ hold: 'ask-the-lead' }) },
        { ...pinOut, 'not-applicable': 'lead' },
        turn,
      ]),
      'law turn pin-out-to-turn',
      ['pin-in done', 'measure recorded', 'measure conforming', 'pin-out omitted'],
    ],
    [
      'a pin left in on the last attempt only',
      proved(
        [measure({ rework: [step('w')], 'resume-at': 'measure', attempts: '9', exhausted: 'over' }), turn],
        {},
        {
          holds: {
            ...holds,
            over: { text: 't', release: [{ rework: [pinIn], 'resume-at': 'measure', times: '1' }] },
          },
        },
      ),
      'law turn pin-out-to-turn',
      [
        'measure recorded',
        'measure high',
        'measure released',
        'measure/over-1/pin-in done',
        'measure recorded',
        'measure conforming',
      ],
    ],
  ])('%s', (_, exploration, expected, way) => {
    expect(exploration.refutations.map(what)).toContain(expected);
    expect(trace(exploration.refutations.find((one) => what(one) === expected))).toEqual(way);
  });

  test('with the states there in words', () => {
    const [found] = proved([toTdc, pinIn, turn]).refutations;
    expect(found?.states.get('pin')).toBe('in');
    expect(found?.states.get('crank')).toBe('TDC of cylinder 1, exhaust');
  });

  test('a law that several ways break is said once for each place', () => {
    const { refutations } = proved([{ step: 'see', observe: 'look' }, pinIn, turn]);
    expect(refutations.map(what)).toEqual(['law turn pin-out-to-turn']);
  });
});

describe('ways that look alike until a law, a disturbance or a missing answer tells them apart', () => {
  const see: Written = { step: 'see', observe: 'look' };
  const tall = { 'only-if': { logic: { '>': [{ var: 'gap' }, '1 mm'] } } };
  const ifBad = { 'only-if': { observed: { look: 'bad' } } };
  test.each<readonly [string, readonly unknown[], string]>([
    // The shorter way is without the fault and comes first.
    [
      'a law over two states',
      [toTdc, see, { ...pinIn, ...ifBad }, setPump('1')],
      'law for-1.bore=1/set never-in-and-set',
    ],
    [
      'a reading that is there or not',
      [see, { step: 'm', read: 'gap', ...ifBad }, step('knock', { disturbs: 'gap' })],
      'ends ends',
    ],
    [
      'a reading that was disturbed or not',
      [
        { step: 'm', read: 'gap' },
        see,
        step('knock', { disturbs: 'gap', ...ifBad }),
        { step: 'j', judge: 'fit', 'if-nonconforming': { hold: 'ask-the-lead' } },
      ],
      'goes-on j',
    ],
    ['a part that is off or not', [see, { step: 'off', remove: 'seal', ...ifBad }, step('x')], 'ends ends'],
    [
      'a pin that is in or not on the way back',
      [
        step('begin', { requires: { pin: 'out' } }),
        measure({
          rework: [see, { ...pinIn, ...ifBad }, step('w')],
          'resume-at': 'begin',
          attempts: '3',
          exhausted: 'worn-out',
        }),
      ],
      'law begin requirement',
    ],
    [
      'a condition that stays decided where a step is left out',
      [
        { step: 'm', read: 'gap' },
        step('a', tall),
        step('again', { read: 'gap', changes: { pin: ['out', 'in'] }, 'not-applicable': 'lead' }),
        step('b', { ...tall, requires: { pin: 'in' } }),
      ],
      'law b requirement',
    ],
    [
      'an answer that is there or not',
      [
        { step: 'look', read: 'gap' },
        { ...see, 'only-if': { logic: { '>': [{ var: 'gap' }, '1 mm'] } } },
        step('w'),
        step('a', { 'only-if': { observed: { look: 'good' } } }),
      ],
      'goes-on a',
    ],
    [
      'a crank that is known or not',
      [toTdc, see, { step: 'free', 'turn-until': 'It is free.', ...ifBad }, setPump('1')],
      'law for-1.bore=1/set set-on-base',
    ],
  ])('%s', (_, steps, expected) => {
    expect(proved(steps).refutations.map(what)).toEqual([expected]);
  });
});

test('a step that no way reaches is named, and so is an end that none reaches', () => {
  const exploration = proved([step('needs', { requires: { pin: 'in' } }), step('after')]);
  expect(exploration).toMatchObject({ unreached: ['after'], reachesEnd: false, cutShort: false });
  const dead = proved([step('x'), { step: 'never', do: 'x', 'only-if': { state: { pin: 'in' } } }]);
  expect(dead).toMatchObject({ unreached: ['never'], reachesEnd: true, refutations: [] });
});

test('a reading that only some ways take, and that a later step judges by, is told apart until then', () => {
  const judge = { step: 'judge', judge: 'fit', 'if-nonconforming': { hold: 'worn-out' } };
  const only = { 'only-if': { observed: { look: 'good' } } };
  const see = { step: 'see', observe: 'look' };
  const read = { step: 'measure', read: 'gap', ...only };
  // The way without the reading is longer, so that it comes last to where both ways meet.
  const bad = { 'only-if': { observed: { look: 'bad' } } };
  const ways = [see, read, step('a', bad), step('b', bad), step('between')];
  expect(proved([...ways, judge]).refutations.map(what)).toEqual(['goes-on judge']);
  expect(proved([...ways, { ...judge, ...only }]).refutations).toEqual([]);
});

test('answers that are given anew before anything reads them do not multiply the states', () => {
  const states = (count: number): number => {
    const ids = Array.from({ length: count }, (_, i) => `o-${i}`);
    const answers = { yes: 'Y', no: 'N' };
    const exploration = proved(
      ids.map((id) => ({
        step: `see-${id}`,
        observe: id,
        'if-nonconforming': {
          rework: [step(`undo-${id}`)],
          'resume-at': 'see-o-0',
          attempts: '3',
          exhausted: 'worn-out',
        },
      })),
      {
        observations: Object.fromEntries(ids.map((id) => [id, { text: 't', answers, conforming: ['yes'] }])),
      },
    );
    expect(exploration).toMatchObject({ refutations: [], reachesEnd: true, cutShort: false, unreached: [] });
    return exploration.states;
  };
  // Each observation more adds as many states as the one before: where it is made, judged, undone and held.
  expect(states(30) - states(20)).toBe(states(20) - states(10));
});

/** Observations after each of which a state is changed or not, all still read at the end: each doubles the states. */
function multiplying(count: number, more: readonly unknown[] = []): ReturnType<typeof planOf> {
  const ids = Array.from({ length: count }, (_, i) => `o-${i}`);
  const look = { text: 't', answers: { yes: 'Y', no: 'N' } };
  return planOf(
    packOf(
      {
        observations: Object.fromEntries(ids.map((id) => [id, look])),
        steps: [
          ...ids.flatMap((id) => [
            { step: `see-${id}`, observe: id },
            step(`set-${id}`, {
              'only-if': { observed: { [id]: 'yes' } },
              changes: { [`s-${id}`]: ['low', 'high'] },
            }),
          ]),
          ...more,
          ...ids.map((id) => step(`use-${id}`, { 'only-if': { state: { [`s-${id}`]: 'high' } } })),
        ],
      },
      {
        states: Object.fromEntries(
          ids.map((id) => [`s-${id}`, { is: ['low', 'high'], starts: 'low', ends: ['low', 'high'] }]),
        ),
      },
    ),
  );
}

test('a proof that is cut short says where most states are and what tells them apart', () => {
  const { cutShort, crowd, states } = explore(multiplying(8), { mostStates: 300 });
  expect({ cutShort, states }).toEqual({ cutShort: true, states: 300 });
  expect(crowd?.node).toMatch(/^see-o-[4567]$/);
  // What was seen and is read no more does not tell states apart, what it has led to does.
  expect(crowd?.live.every((name) => /^s-o-\d$/.test(name))).toBe(true);
  expect(crowd?.states).toBeLessThanOrEqual(2 ** (crowd?.live.length ?? 0));
  expect(crowd?.states).toBeGreaterThan(2 ** ((crowd?.live.length ?? 0) - 2));
  expect(explore(multiplying(8)).crowd).toBeUndefined();
});

test('what is the same for each of several answers is looked at once', () => {
  const look = { text: 't', answers: { yes: 'Y', no: 'N' } };
  const states = (count: number): number => {
    const ids = Array.from({ length: count }, (_, i) => `o-${i}`);
    return proved(
      [
        ...ids.map((id) => ({ step: `see-${id}`, observe: id })),
        step('between'),
        ...ids.map((id) => step(`use-${id}`, { 'only-if': { observed: { [id]: 'yes' } } })),
      ],
      { observations: Object.fromEntries(ids.map((id) => [id, look])) },
    ).states;
  };
  // Far from 2³⁰: what is struck narrows one answer at a time.
  expect(states(30)).toBeLessThan(30 * 30);
});

test('a proof takes neither more states nor more memory than it may', () => {
  const steps = Array.from({ length: 1900 }, (_, i) => step(`s-${i}`));
  const plan = multiplying(14, [{ each: 'item', of: Array.from({ length: 10 }, (_, i) => `i${i}`), steps }]);
  const here = new Map<number, number>();
  const { cutShort, states } = explore(plan, {
    mostStates: 40_000,
    onReach: ({ at }) => {
      here.set(at, (here.get(at) ?? 0) + 1);
    },
  });
  expect({ cutShort, states }).toEqual({ cutShort: true, states: 40_000 });
  // Some 19 kB for each state that waits: 2¹⁴ of them, which the bound on their number alone would allow, are too many.
  const most = Math.max(...here.values());
  expect(most * (plan.cells.length + plan.nodes.length)).toBeLessThan(200_000_000);
  expect(most).toBeGreaterThan(2000);
});

test('a bound is said, never silently kept', () => {
  const steps = [
    step('a'),
    { step: 'see', observe: 'look' },
    step('b', { 'only-if': { observed: { look: 'good' } } }),
    step('c'),
  ];
  const plan = planOf(
    packOf({ observations: { look: { text: 't', answers: { good: 'G', bad: 'B' } } }, steps }),
  );
  const whole = explore(plan);
  expect(whole.cutShort).toBe(false);
  for (let most = 1; most < whole.states; most++)
    expect(explore(plan, { mostStates: most })).toMatchObject({ cutShort: true, states: most });
  expect(explore(plan, { mostStates: whole.states })).toMatchObject({
    cutShort: false,
    states: whole.states,
  });
});

test('attempts are not gone through one by one', () => {
  const many = (attempts: string): number =>
    proved([step('a'), measure({ rework: [step('w')], 'resume-at': 'a', attempts, exhausted: 'worn-out' })])
      .states;
  expect(many('200')).toBe(many('3'));
  // Of two attempts it is known which one this is: no way goes round a second time.
  expect(many('2')).toBeLessThan(2 * many('3'));
});

test('what no later step reads does not multiply the states', () => {
  const looks = (count: number): number => {
    const observations = Object.fromEntries(
      Array.from({ length: count }, (_, i) => [
        `look-${i}`,
        { text: 't', answers: { good: 'G', bad: 'B', odd: 'O' } },
      ]),
    );
    return proved(
      Object.keys(observations).map((id) => ({ step: `see-${id}`, observe: id })),
      { observations },
    ).states;
  };
  expect(looks(12)).toBeLessThan(60);
});

test('what limits of another value are worked out from needs no limits itself', () => {
  const fit = { of: 'gap', 'at-most': { '+': [{ var: 'base' }, '1 mm'] }, source: 'invented' };
  const steps = [
    { step: 'base', read: 'base' },
    { step: 'see', observe: 'look' },
    { ...measure({ hold: 'ask-the-lead' }), 'only-if': { observed: { look: 'good' } } },
  ];
  const more = { readings: { gap: length(), base: length() }, tolerances: { fit } };
  expect(proved(steps, more).refutations).toEqual([]);
  // What is judged itself is as before: here the way past its verdict is found.
  const judged = { ...more, tolerances: { fit, 'base-fit': limits('base') } };
  const later = { step: 'later', judge: 'base-fit', 'if-nonconforming': { hold: 'ask-the-lead' } };
  const passed = [...steps, { ...later, 'only-if': { observed: { look: 'good' } } }];
  expect(proved(passed, judged).refutations.map(what)).toContain('judged base at measure');
});

test('by which of two limits a value was found good is forgotten where nothing goes by it any more', () => {
  const statesWith = (bores: readonly string[]): number => {
    const one = (bore: string): Written => ({
      each: 'bore',
      of: [bore],
      id: `for-${bore}`,
      steps: [
        { step: 'see', observe: 'look' },
        { ...measure({ hold: 'ask-the-lead' }), 'only-if': { observed: { look: 'good' } } },
        {
          step: 'measure-anew',
          read: 'gap',
          judge: 'wide',
          'if-nonconforming': { hold: 'ask-the-lead' },
          'only-if': { observed: { look: 'bad' } },
        },
      ],
    });
    const all = bores.map((bore) => ({ var: `gap@${bore}` }));
    const found = proved(
      [
        ...bores.map(one),
        { step: 'compare', judge: 'mean-fit', 'if-nonconforming': { hold: 'ask-the-lead' } },
      ],
      {
        readings: { gap: length({ per: 'bore' }) },
        observations: { look: { text: 't', per: 'bore', answers: { good: 'G', bad: 'B' } } },
        derived: { all: { is: { '+': [...all, '0 mm'] } } },
        tolerances: {
          fit: limits('gap'),
          wide: limits('gap', { between: ['0.5 mm', '3.0 mm'] }),
          'mean-fit': limits('all'),
        },
      },
    );
    expect(found.refutations).toEqual([]);
    return found.states;
  };
  const [two, three] = [statesWith(['1', '2']), statesWith(['1', '2', '3'])];
  expect(three - two).toBe(two - statesWith(['1']));
});
