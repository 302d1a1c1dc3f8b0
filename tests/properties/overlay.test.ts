import { runScript } from '@ferrule/check';
import {
  type Command,
  decide,
  type Job,
  type Plan,
  Report,
  resolve,
  start,
  type VerdictWord,
} from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, type PackReading, readPackFromFiles } from '@ferrule/source';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Chance, people, Walker } from './random-walk.ts';

const rules = ['simple', 'guarded-acceptance', 'guarded-rejection', 'guarded-both', 'probability'] as const;
const names = [...rules, 'aimed', 'upper', 'by-variant', 'difference'] as const;
/** The limits of each in micrometres, upper and by-variant with one alone. */
const bounds = (name: string): readonly [number, number] =>
  name === 'difference'
    ? [-150, 150]
    : ['upper', 'by-variant'].includes(name)
      ? [-Infinity, 400]
      : [200, 400];

const remedies = 'if-nonconforming: { hold: ask }, if-inconclusive: { hold: ask }';
const step = (name: string): string =>
  `      - { step: look-${name}, do: Look., judge: ${name}, ${['simple', 'aimed', 'upper', 'by-variant', 'difference'].includes(name) ? 'if-nonconforming: { hold: ask }' : remedies} }`;

/** Every rule of decision on one reading, a difference of two, a rework, laws, a witness. All values are invented. */
const packText = `format: '1'
pack: bench
revision: 1.0.0
title: Bench
roles: { technician: { title: T }, lead: { title: L }, second: { title: S } }
conditions: { cold: { text: Cold. }, dry: { text: Dry. } }
hazards: { hot: { signal: danger, acknowledge: yes, text: Hot. }, oil: { signal: caution, text: Oil. } }
instruments:
  dial: { title: Dial, quantity: length, range: [-2 mm, 2 mm], resolution: 0.001 mm, maximum-permissible-error: 0.020 mm, common-error: 0.010 mm, calibrated: yes }
states:
  cover: { is: ['on', 'off'], starts: 'on', ends: 'on' }
  pin: { is: [in, out], starts: out, ends: out }
operations: { lift: { title: Lifting } }
interlocks:
  - { law: pin-out, says: The pin is in., while: { pin: in }, forbid: lift }
  - { law: cover-off, says: The cover is on., operation: lift, only-while: { cover: 'off' } }
variants: { four: { title: Four, cylinders: '4', facts: { wide: 0.400 mm } } }
holds:
  ask: { text: Ask., release: [{ concession: lead }] }
  look: { text: Look., safety: yes, release: [{ witness: lead }] }
procedures:
  job:
    title: Job
    preliminary: { conditions: [cold], persons: [technician, lead, second], equipment: [dial], supplies: [], spares: [], safety: [] }
    parking: { only-while: { pin: out }, instructions: Cover it., on-resuming: [cold] }
    readings:
      gap: { measurand: Gap, quantity: length, unit: mm, instrument: dial, plausible: [-1 mm, 1 mm] }
      again: { measurand: Again, quantity: length, unit: mm, instrument: dial, plausible: [-1 mm, 1 mm] }
      last: { measurand: Last, quantity: length, unit: mm, instrument: dial, plausible: [-1 mm, 1 mm] }
    derived: { change: { is: { '-': [{ var: again }, { var: gap }] } } }
    tolerances:
${rules.map((rule) => `      ${rule}: { of: gap, between: [0.200 mm, 0.400 mm], rule: ${rule}, source: table 1 }`).join('\n')}
      aimed: { of: gap, nominal: 0.300 mm, deviation: 0.100 mm, source: table 1 }
      upper: { of: gap, at-most: 0.400 mm, source: table 1 }
      by-variant: { of: gap, at-most: variant.wide, source: table 1 }
      difference: { of: change, between: [-0.150 mm, 0.150 mm], source: table 1 }
      reworked: { of: last, between: [0.200 mm, 0.400 mm], source: table 1 }
    steps:
      - { step: off, do: Take it off., hazards: [hot], changes: { cover: ['on', 'off'] } }
      - { step: pin-in, do: Pin., changes: { pin: [out, in] } }
      - { step: pin-out, do: Pin., changes: { pin: [in, out] } }
      - { step: lift, do: Lift., operation: lift, together-with: second }
      - { hold: look }
      - { step: measure, read: [gap, again] }
${names.map(step).join('\n')}
      - step: last
        read: last
        judge: reworked
        if-nonconforming:
          rework: [{ step: turn-back, do: Turn back., operation: lift }]
          resume-at: last
          attempts: 3
          exhausted: ask
      - { step: on, do: Put it on., witness: lead, changes: { cover: ['off', 'on'] } }
`;
const files = new Map([['pack.yaml', packText]]);
const pack = readPackFromFiles(files);
const { digest } = bundleOf(pack.document);

function planOf({ document, diagnostics }: PackReading): Plan {
  const report = new Report();
  const { pack: valid, diagnostics: faults } = validate(document);
  const plan = valid && resolve(valid, { procedure: 'job', variant: 'four' }, report).plan;
  if (plan === undefined || diagnostics.length > 0)
    throw new Error(JSON.stringify([...diagnostics, ...faults, ...report.diagnostics]));
  return plan;
}
const released = planOf(pack);

const lay = (overlay: object): PackReading =>
  readPackFromFiles(
    files,
    new Map(),
    new Map([
      [
        'overlay.yaml',
        JSON.stringify({
          ...{ format: '1', overlay: 'shop', revision: '1.0.0', title: 'Shop' },
          ...{ over: { pack: 'bench', revision: '1.0.0', digest }, ...overlay },
        }),
      ],
    ]),
  );

const mm = (micrometres: number): string => `${(micrometres / 1000).toFixed(3)} mm`;
const micrometres = fc.integer({ min: -450, max: 650 });

/** Stricter limits that may be so or not: whether they are, is worked out here by itself. */
const limitsWanted = fc
  .record({
    name: fc.constantFrom(...names),
    low: fc.option(micrometres, { nil: undefined }),
    high: fc.option(micrometres, { nil: undefined }),
  })
  .filter(({ low, high }) => low !== undefined || high !== undefined);
type Wanted = Readonly<{ name: string; low: number | undefined; high: number | undefined }>;

const written = ({ name, low, high }: Wanted): object => ({
  tolerance: `job/${name}`,
  ...(low !== undefined && high !== undefined
    ? { between: [mm(low), mm(high)] }
    : low !== undefined
      ? { 'at-least': mm(low) }
      : { 'at-most': mm(high ?? 0) }),
  source: 'rule',
});

function isStricter({ name, low, high }: Wanted): boolean {
  const [least, most] = bounds(name);
  const [from, to] = [low ?? least, high ?? most];
  if (from < least || to > most || from > to || (from === least && to === most)) return false;
  return name !== 'aimed' || (from <= 300 && to >= 300);
}

const errors = fc.record({
  error: fc.integer({ min: 1, max: 30 }),
  common: fc.option(fc.integer({ min: 0, max: 30 }), { nil: undefined }),
  resolution: fc.constantFrom('0.0005 mm', '0.001 mm', '0.002 mm'),
});

const instrument = ({
  error,
  common,
  resolution,
}: {
  error: number;
  common: number | undefined;
  resolution: string;
}) => ({
  ...{ title: 'Other', quantity: 'length', range: ['-2 mm', '2 mm'], resolution, calibrated: 'yes' },
  'maximum-permissible-error': mm(error),
  ...(common === undefined ? {} : { 'common-error': mm(common) }),
});

type Verdicts = ReadonlyMap<string, VerdictWord>;

/** The verdicts of a whole job, with whatever is asked for besides given. */
function verdictsOf(plan: Plan, readings: Readonly<Record<string, string>>): Verdicts {
  const verdicts = new Map<string, VerdictWord>();
  const run = runScript(
    plan,
    {
      persons: { technician: 'A', lead: 'C', second: 'B' },
      instruments: {
        dial: { identity: 'D-1', due: '2099-12-31' },
        other: { identity: 'O-1', due: '2099-12-31' },
      },
      readings,
      releases: Object.fromEntries(
        ['look', 'shop-look']
          .map((hold) => [hold, { by: 'witness', reason: 'Seen.' }])
          .concat([['ask', { by: 'concession', reason: 'Let be.' }]]),
      ),
    },
    {
      bundle: 'sha256:0',
      onFacts: (facts) => {
        for (const { fact } of facts)
          if (fact.kind === 'judged' && !verdicts.has(fact.of)) verdicts.set(fact.of, fact.verdict.verdict);
      },
    },
  );
  if (run.ended !== 'closed') throw new Error(`${run.ended}: ${run.why ?? run.hold ?? ''}`);
  return verdicts;
}

const values = fc.record({
  gap: fc.integer({ min: 100, max: 500 }).map(mm),
  again: fc.integer({ min: 100, max: 500 }).map(mm),
  last: fc.integer({ min: 200, max: 400 }).map(mm),
});

describe('random stricter limits', () => {
  test('are laid if and only if they lie inside, and then nothing conforms that did not', () => {
    let laid = 0;
    fc.assert(
      fc.property(limitsWanted, fc.array(values, { minLength: 3, maxLength: 6 }), (wanted, all) => {
        const reading = lay({ stricter: [written(wanted)] });
        expect(reading.diagnostics.length === 0, JSON.stringify(wanted)).toBe(isStricter(wanted));
        if (reading.diagnostics.length > 0) return;
        laid++;
        const plan = planOf(reading);
        for (const readings of all) {
          const [before, after] = [released, plan].map((one) => verdictsOf(one, readings)) as [
            Verdicts,
            Verdicts,
          ];
          expect([...after.keys()]).toEqual([...before.keys()]);
          for (const [name, verdict] of after) {
            if (name !== wanted.name) expect(verdict).toBe(before.get(name));
            else if (verdict === 'conforming')
              expect(before.get(name), JSON.stringify({ wanted, readings })).toBe('conforming');
          }
        }
      }),
      { numRuns: 80 },
    );
    expect(laid).toBeGreaterThan(5);
  });

  test('inside each limit in turn, near it', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...names),
        fc.integer({ min: 0, max: 80 }),
        fc.integer({ min: 0, max: 80 }),
        fc.integer({ min: -60, max: 60 }),
        (name, up, down, beside) => {
          const [least, most] = bounds(name);
          if (up + down === 0) return;
          const wanted = { name, low: Number.isFinite(least) ? least + up : undefined, high: most - down };
          if (!isStricter(wanted)) return;
          const plan = planOf(lay({ stricter: [written(wanted)] }));
          const at = name === 'difference' ? [300, 300 + most - down + beside] : [most - down + beside, 300];
          const readings = { gap: mm(at[0] ?? 0), again: mm(at[1] ?? 0), last: mm(300) };
          const [before, after] = [released, plan].map((one) => verdictsOf(one, readings).get(name));
          if (before !== 'conforming')
            expect(after, JSON.stringify({ wanted, readings })).not.toBe('conforming');
        },
      ),
      { numRuns: 80 },
    );
  });
});

describe('random instruments', () => {
  test('are taken if and only if they are nowhere worse, and then nothing conforms that did not conform', () => {
    fc.assert(
      fc.property(errors, fc.array(values, { minLength: 2, maxLength: 4 }), (wanted, all) => {
        const finer = ['gap', 'again'].map((reading) => ({ reading: `job/${reading}`, instrument: 'other' }));
        const reading = lay({ instruments: { other: instrument(wanted) }, finer });
        const { error, common, resolution } = wanted;
        // The dial: off by 0.020 mm, of which 0.010 mm are common, in steps of 0.001 mm.
        const isNowhereWorse =
          error <= 20 &&
          resolution !== '0.002 mm' &&
          common !== undefined &&
          common <= 10 &&
          error - common <= 10;
        // More in common than all of it is a fault of the instrument, told when it is resolved.
        if (common !== undefined && common > error) return;
        expect(reading.diagnostics.length === 0, JSON.stringify(wanted)).toBe(isNowhereWorse);
        if (!isNowhereWorse) return;
        const plan = planOf(reading);
        for (const readings of all) {
          const [before, after] = [released, plan].map((one) => verdictsOf(one, readings)) as [
            Verdicts,
            Verdicts,
          ];
          for (const [name, verdict] of before)
            if (verdict === 'nonconforming')
              expect(after.get(name), JSON.stringify({ wanted, readings, name })).not.toBe('conforming');
        }
      }),
      { numRuns: 100 },
    );
  });

  test('one of two readings that are compared is not taken alone', () => {
    const better = instrument({ error: 5, common: 2, resolution: '0.001 mm' });
    for (const reading of ['gap', 'again'])
      expect(
        lay({
          instruments: { other: better },
          finer: [{ reading: `job/${reading}`, instrument: 'other' }],
        }).diagnostics.map(({ code }) => code),
      ).toEqual(['overlay-weakens']);
    expect(
      lay({ instruments: { other: better }, finer: [{ reading: 'job/last', instrument: 'other' }] })
        .diagnostics,
    ).toEqual([]);
  });
});

const [technician, second, lead] = people;
const paths = new Map(released.nodes.map((node) => [node.path, node]));

/** Whether a command answers what only the overlay asks for. */
function isAdded(command: Command, hold: string | undefined): boolean {
  if (command.command === 'release') return hold?.startsWith('shop-') === true;
  if (!('step' in command)) return false;
  const node = paths.get(command.step);
  if (node === undefined) return true;
  if (command.command === 'witness') return node.node === 'step' && node.witness === undefined;
  // One step of the pack shows a danger that is to be acknowledged.
  return command.command === 'acknowledge' && !command.step.endsWith('off');
}

describe('random overlays on a random walk', () => {
  const begin = (plan: Plan): Job => {
    const begun = start(
      plan,
      {
        bundle: 'sha256:0',
        persons: [
          { role: 'technician', person: technician },
          { role: 'second', person: second },
          { role: 'lead', person: lead },
        ],
        instruments: [{ kind: 'dial', identity: 'D-1', due: '2099-12-31' }],
      },
      { at: '2027-01-04T08:00:00Z', by: technician, id: 's' },
    );
    if (begun.job === undefined) throw new Error(JSON.stringify(begun.refusals));
    return begun.job;
  };
  const steps = [
    'off',
    'pin-in',
    'pin-out',
    'lift',
    'measure',
    'look-simple',
    'look-upper',
    'last',
    'turn-back',
  ] as const;
  const some = fc.subarray([...steps]);
  const overlays = fc.record({
    cautions: some,
    witnesses: some,
    holds: fc.subarray(steps.filter((one) => one !== 'turn-back')),
    dry: fc.boolean(),
    stricter: fc.option(fc.integer({ min: 1, max: 90 }), { nil: undefined }),
  });
  const listed = <T>(key: string, list: readonly T[]) => (list.length === 0 ? {} : { [key]: list });

  test('nothing is allowed that the pack by itself forbids in the same place', () => {
    let compared = 0;
    let refused = 0;
    fc.assert(
      fc.property(overlays, fc.integer(), (wanted, seed) => {
        const reading = lay({
          ...listed(
            'cautions',
            wanted.cautions.map((one) => ({ step: `job/${one}`, hazards: ['oil', 'hot'] })),
          ),
          ...listed(
            'witnesses',
            wanted.witnesses.map((one) => ({ step: `job/${one}`, witness: 'lead' })),
          ),
          ...listed(
            'hold-points',
            wanted.holds.map((one) => ({
              before: `job/${one}`,
              hold: `shop-${one}`,
              text: 'Look.',
              witness: 'second',
            })),
          ),
          ...listed(
            'preliminary',
            wanted.dry ? [{ procedure: 'job', conditions: ['dry'], safety: ['oil'] }] : [],
          ),
          ...listed(
            'stricter',
            wanted.stricter === undefined
              ? []
              : [{ tolerance: 'job/reworked', 'at-most': mm(400 - wanted.stricter), source: 'rule' }],
          ),
        });
        const plan = planOf(reading);
        const walker = new Walker(plan, new Chance(seed), { wrong: 0.15, strikes: 0, parks: 0.1 });
        let laid = begin(plan);
        let alone = begin(released);
        for (let count = 0; count < 120 && laid.control.closed === undefined; count++) {
          const { command, occasion, expectedSeq } = walker.deed(laid);
          const held = laid.facts.findLast(({ fact }) => fact.kind === 'held')?.fact;
          const hold = held?.kind === 'held' ? held.hold : undefined;
          const place = plan.nodes[laid.control.at]?.path;
          const answer = decide(plan, laid, command, occasion, expectedSeq);
          if (answer.job === undefined) {
            refused++;
            continue;
          }
          const facts = answer.facts;
          laid = answer.job;
          if (isAdded(command, hold)) continue;
          // While the overlay waits for a witness the pack by itself is a step further on, and may be at a hold.
          if (command.command === 'park' && place !== released.nodes[alone.control.at]?.path) continue;
          if (command.command === 'resume' && !alone.control.parked) continue;
          const shadow = decide(released, alone, command, occasion);
          compared++;
          expect(shadow.refusals, JSON.stringify({ wanted, seed, count, command, hold })).toBeUndefined();
          if (shadow.job === undefined) return;
          alone = shadow.job;
          const judged = [facts, shadow.facts].map((list) =>
            list
              .flatMap(({ fact }) => (fact.kind === 'judged' ? [`${fact.of} ${fact.verdict.verdict}`] : []))
              .join(),
          );
          // From here on the two jobs go different ways, and the one with the overlay has not conformed.
          if (judged[0] !== judged[1]) {
            expect(judged).toEqual(['reworked nonconforming', 'reworked conforming']);
            return;
          }
        }
      }),
      { numRuns: 80 },
    );
    expect(compared).toBeGreaterThan(500);
    expect(refused).toBeGreaterThan(100);
  });
});
