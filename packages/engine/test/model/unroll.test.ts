import { describe, expect, test } from 'vitest';
import { resolve } from '../../src/index.ts';
import { engine, length, limits, packOf, planOf, validPack, type Written } from '../small-pack.ts';

const begin: Written = { step: 'begin', do: 'Begin.' };
const paths = (document: Written): readonly string[] =>
  planOf(document).nodes.flatMap((node) => (node.node === 'step' ? [node.path] : []));
const says = (document: Written): readonly string[] =>
  planOf(document).nodes.flatMap((node) => (node.node === 'step' ? [node.act?.says ?? ''] : []));
const entries = (document: Written): readonly string[] => planOf(document).entries.map((one) => one.name);

test('answers are asked for in their order, and those that it does not name after them', () => {
  const answers = { bad: 'Bad', fair: 'Fair', good: 'Good' };
  const document = packOf({
    observations: { look: { text: 'How is it?', answers, order: ['good', 'fair'] } },
    steps: [{ step: 'see', observe: 'look' }],
  });
  expect(planOf(document).entries).toMatchObject([
    { answers: [{ id: 'good', text: 'Good' }, { id: 'fair' }, { id: 'bad' }] },
  ]);
});

describe('loops are written out', () => {
  test.each<readonly [string, unknown, readonly string[]]>([
    ['bores', 'bores', ['bore=1/it', 'bore=2/it', 'bore=3/it']],
    ['bores-rear-to-front', 'bores-rear-to-front', ['bore=3/it', 'bore=2/it', 'bore=1/it']],
    ['a list', ['2', '1'], ['bore=2/it', 'bore=1/it']],
  ])('over %s', (_, of, expected) => {
    expect(
      paths(packOf({ steps: [{ each: 'bore', of, steps: [{ step: 'it', do: 'Do {bore}.' }] }] })),
    ).toEqual(expected);
  });

  test('over the stops of the rotation plan and the bores of each', () => {
    // From TDC 1 on exhaust, firing order 1-3-2, on base from 250° after firing to 70° before it (computed by hand):
    // bore 3 fires at 240° and bore 2 at 480°, so bores are off base in [−70°, 250°], [170°, 490°] and [410°, 730°].
    // Free at 0°: 3; at 180°: 2; at 360°: 1 and 2; at 540°: 1 and 3. So 3, then 2 and 1; at 0° there is more room for 3.
    const document = packOf({
      steps: [
        {
          each: 'stop',
          of: 'plan.stops',
          steps: [
            {
              step: 'turn',
              turn: 'stop.rotation',
              do: 'Turn {stop.rotation} to {stop.position}, held by {stop.held-by}.',
            },
            {
              each: 'bore',
              of: 'stop.bores',
              steps: [{ step: 'set', do: 'Set pump {bore} at stop {stop}.' }],
            },
          ],
        },
      ],
    });
    expect(says(document)).toEqual([
      'Turn 360° to 0°, held by the lock at 0°. Turn by 360° in the running direction.',
      'Set pump 3 at stop 1.',
      'Turn 360° to 360°, held by the lock at 360°. Turn by 360° in the running direction.',
      'Set pump 2 at stop 2.',
      'Set pump 1 at stop 2.',
    ]);
  });

  test('a loop with an id of its own stands beside another one', () => {
    const loop = (id: Written): Written => ({ each: 'bore', of: ['1'], ...id, steps: [begin] });
    expect(paths(packOf({ steps: [loop({}), loop({ id: 'again' })] }))).toEqual([
      'bore=1/begin',
      'again.bore=1/begin',
    ]);
  });

  test('one loop inside another binds both names', () => {
    const inner = {
      each: 'seal',
      of: ['upper', 'lower'],
      steps: [{ step: 'fit', do: 'Fit the {seal} seal of {bore}.' }],
    };
    expect(says(packOf({ steps: [{ each: 'bore', of: ['1', '2'], steps: [inner] }] }))).toEqual([
      'Fit the upper seal of 1.',
      'Fit the lower seal of 1.',
      'Fit the upper seal of 2.',
      'Fit the lower seal of 2.',
    ]);
  });
});

describe('names', () => {
  const readings = { gap: length({ per: 'bore' }), wear: length({ per: ['bore', 'seal'] }) };

  test('a reading per bore is one for each, named with its place', () => {
    const seals = { each: 'seal', of: ['upper'], steps: [{ step: 'w', read: 'wear' }] };
    const document = packOf({
      readings,
      steps: [{ each: 'bore', of: 'bores', steps: [{ step: 'r', read: 'gap' }, seals] }],
    });
    expect(entries(document)).toEqual([
      'gap@1',
      'wear@1@upper',
      'gap@2',
      'wear@2@upper',
      'gap@3',
      'wear@3@upper',
    ]);
    expect(planOf(document).entries.map((one) => one.bore)).toEqual([1, 1, 2, 2, 3, 3]);
  });

  test('a condition outside the loop names one instance, or all of them', () => {
    const loop = { each: 'bore', of: 'bores', steps: [{ step: 'r', read: 'gap' }] };
    const after = (logic: unknown): Written =>
      packOf({ readings, steps: [loop, { step: 'then', do: 'x', 'only-if': { logic } }] });
    const names = (logic: unknown): readonly number[] => planOf(after(logic)).conditions[0]?.entries ?? [];
    expect(names({ '>': [{ var: 'gap@2' }, '1 mm'] })).toEqual([1]);
    expect(names({ '>': [{ highest: { 'every-bore': 'gap' } }, '1 mm'] })).toEqual([0, 1, 2]);
  });

  test('a tolerance of a bore judges that bore, one derived from another procedure its exports', () => {
    const inner = {
      title: 'I',
      exports: ['gap'],
      readings: { gap: length() },
      steps: [{ step: 'r', read: 'gap' }],
    };
    const remedy = { hold: 'ask-the-lead' };
    const document = packOf(
      {
        derived: { change: { is: { change: { from: 'before.gap', to: 'after.gap' } } } },
        tolerances: { same: limits('change') },
        steps: [
          { perform: 'inner', as: 'before' },
          { perform: 'inner', as: 'after' },
          { step: 'judge', judge: 'same', 'if-nonconforming': remedy },
        ],
      },
      { procedures: { inner } },
    );
    const plan = planOf(document);
    expect(entries(document)).toEqual(['before.gap', 'after.gap']);
    expect(plan.tolerances).toHaveLength(1);
    expect(plan.tolerances[0]).toMatchObject({
      name: 'same',
      entries: expect.arrayContaining([0, 1]),
      sides: ['high', 'low'],
    });
    expect(paths(document)).toEqual(['before/r', 'after/r', 'judge']);

    const bores = packOf({
      readings,
      tolerances: { fit: limits('gap') },
      steps: [
        {
          each: 'bore',
          of: 'bores',
          steps: [{ step: 'r', read: 'gap', judge: 'fit', 'if-nonconforming': remedy }],
        },
      ],
    });
    expect(planOf(bores).tolerances.map(({ name, entries }) => [name, entries])).toEqual([
      ['fit@1', [0]],
      ['fit@2', [1]],
      ['fit@3', [2]],
    ]);
  });

  test('facts of the variant stand for limits, plausible ranges and words', () => {
    const document = packOf({
      readings: { gap: length({ plausible: ['0 mm', 'variant.gap-high'] }) },
      tolerances: { fit: { of: 'gap', between: ['variant.gap-low', 'variant.gap-high'], source: 's' } },
      steps: [
        {
          step: 'r',
          do: 'Paint it {variant.colour}, {variant.title}.',
          read: 'gap',
          judge: 'fit',
          'if-nonconforming': { hold: 'ask-the-lead' },
        },
      ],
    });
    expect(says(document)).toEqual(['Paint it grey, Small three-cylinder.']);
    expect(planOf(document).tolerances[0]?.says).toBe('1.0 mm to 2.0 mm');
  });
});

test('the words of an answer name the bore and the facts of the variant, as its question does', () => {
  const look = {
    text: 'Pump {bore} …',
    per: 'bore',
    answers: { good: 'shows {variant.title}', bad: 'of {bore}' },
  };
  const plan = planOf(
    packOf({
      observations: { look },
      steps: [{ each: 'bore', of: ['2'], steps: [{ step: 'see', observe: 'look' }] }],
    }),
  );
  const answers = plan.entries.flatMap((one) => (one.entry === 'observation' ? one.answers : []));
  expect(answers.map((one) => one.text)).toEqual([`shows ${plan.variant.title}`, 'of 2']);
});

describe('procedures performed', () => {
  const inner: Written = {
    title: 'Inner',
    takes: ['bore', 'end'],
    steps: [
      { step: 'go', do: 'Go to {end} of bore {bore}.' },
      { step: 'only-in', do: 'In.', 'only-if': { given: { end: 'in' } } },
      { step: 'state', do: 'x', requires: { clamped: 'yes' } },
    ],
  };
  const states = { clamped: { per: 'bore', is: ['yes', 'no'], starts: 'yes', ends: 'yes' } };

  test('what is given is bound, a bore puts it inside that bore, and given conditions are decided', () => {
    const document = packOf(
      {
        steps: [
          { perform: 'inner', as: 'first', given: { bore: '2', end: 'in' } },
          { each: 'bore', of: ['3'], steps: [{ perform: 'inner', given: { bore: 'bore', end: 'out' } }] },
        ],
      },
      { states, procedures: { inner } },
    );
    expect(paths(document)).toEqual([
      'first/go',
      'first/only-in',
      'first/state',
      'bore=3/inner/go',
      'bore=3/inner/state',
    ]);
    expect(says(document)[0]).toBe('Go to in of bore 2.');
    expect(planOf(document).nodes.flatMap((one) => (one.node === 'step' ? [one.bore] : []))).toEqual([
      2, 2, 2, 3, 3,
    ]);
  });
});

describe('variants', () => {
  const steps = [begin, { step: 'special', do: 'x', 'only-if': { variant: ['other'] } }];
  const variants = { small: engine, other: { title: 'Without data' } };

  test('what is for another variant is left out', () => {
    const document = packOf({ steps }, { variants });
    expect(paths(document)).toEqual(['begin']);
    expect(planOf(document, 'main', 'other').nodes.map((one) => one.path)).toContain('special');
  });

  test('a procedure is resolved only for the variants that it is written for', () => {
    const pack = validPack(packOf({ variants: ['other'], steps }, { variants }));
    expect(resolve(pack, { procedure: 'main', variant: 'small' }).diagnostics[0]?.code).toBe('unknown-name');
    expect(resolve(pack, { procedure: 'main', variant: 'none' }).diagnostics[0]?.code).toBe('unknown-name');
    expect(resolve(pack, { procedure: 'none', variant: 'other' }).diagnostics[0]?.code).toBe('unknown-name');
  });
});

test('preliminary requirements become confirmations, requirements afterwards too', () => {
  const document = packOf(
    {
      preliminary: {
        conditions: ['cold'],
        persons: ['lead'],
        equipment: ['stand', 'gauge'],
        supplies: ['oil'],
        spares: ['seal'],
        safety: ['heat'],
      },
      afterwards: ['cold'],
      steps: [begin],
    },
    {
      conditions: { cold: { text: 'The engine is cold.' } },
      hazards: { heat: { signal: 'warning', text: 'Hot.' } },
      equipment: { stand: { title: 'Stand' } },
      supplies: { oil: { title: 'Oil' } },
      instruments: {
        gauge: { title: 'Gauge', quantity: 'length', range: ['0 mm', '9 mm'], resolution: '1 mm' },
      },
      parts: { seal: { title: 'Seal', per: 'bore' } },
    },
  );
  expect(paths(document)).toEqual([
    'preliminary/safety',
    'preliminary/cold',
    'preliminary/equipment',
    'preliminary/supplies',
    'preliminary/spares',
    'begin',
    'afterwards/cold',
  ]);
  expect(says(document)[4]).toBe('In hand before stripping: Seal (3).');
  expect(planOf(document).persons).toEqual(['lead']);
});

test('a turn looks its new position up, and does not know it where it ends beside a mark', () => {
  const positions = planOf(packOf({ steps: [{ step: 't', turn: '360°' }] }));
  const [node] = positions.nodes.filter((one) => one.node === 'step');
  // Unknown, 0°, 180°, 360°, 540°: a whole turn changes 0° with 360° and 180° with 540°.
  expect(node?.node === 'step' && node.effects).toEqual([{ cell: 0, table: [0, 3, 4, 1, 2] }]);
  const odd = planOf(packOf({ steps: [{ step: 't', turn: '90°' }] })).nodes.find(
    (one) => one.node === 'step',
  );
  expect(odd?.node === 'step' && odd.effects).toEqual([{ cell: 0, table: [0, 0, 0, 0, 0] }]);
});
