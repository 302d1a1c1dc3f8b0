import { join } from 'node:path';
import { comparePacks } from '@ferrule/compare';
import { compareBehaviour } from '@ferrule/compare/behaviour';
import type { Pack } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { readPack } from '@ferrule/source';
import { beforeAll, describe, expect, test } from 'vitest';
import { type Edit, edited, type Json } from './edit.ts';

const specs = join(import.meta.dirname, '../../specs/marram-unit-pumps');

function packOf(document: unknown): Pack {
  const { pack, diagnostics } = validate(document);
  if (pack === undefined) throw new Error(diagnostics.map(({ message }) => message).join('\n'));
  return pack;
}

let base: Json;
let before: Pack;

// The engine with three cylinders alone, so that every way is soon explored.
beforeAll(async () => {
  const { document } = await readPack(join(specs, '1.1.0'), { withoutTrials: true });
  base = edited(structuredClone(document) as Json, [
    { set: '/procedures/install-and-synchronise/variants', to: ['marram-three'] },
  ]);
  before = packOf(base);
});

function behaviour(edits: readonly Edit[]) {
  const after = packOf(edited(base, edits));
  const changes = comparePacks(before, after);
  const found = compareBehaviour(before, after, { mostTime: 120_000 });
  expect(found.cutShort).toBe(false);
  const of = (kind: string, key?: string) =>
    found.permits.find(({ change }) => changes[change]?.kind === kind && changes[change]?.key === key);
  return { ...found, of };
}

const lawOf = (pack: Pack, name: string) => pack.interlocks?.findIndex(({ law }) => law === name) ?? -1;
const pinLaw = 'law:pin-out-to-turn';
const told = (way: readonly { readonly says: string; readonly happens: readonly string[] }[] | undefined) =>
  (way ?? []).map(({ says, happens }) => [says, ...happens].join('; '));

describe('a law is dropped', () => {
  test('that the written steps keep: it is proved that none breaks it', () => {
    expect(lawOf(before, 'pin-out-to-turn')).toBeGreaterThanOrEqual(0);
    const { of } = behaviour([{ remove: pinLaw }]);
    expect(of('law')).toMatchObject({ found: 'none' });
    expect(of('law')?.says).toMatch(/timing pin is in the flywheel/);
  });

  test('together with the step that kept it: the shortest way to turning with the pin in', () => {
    const { of } = behaviour([
      { remove: pinLaw },
      { set: 'install-and-synchronise#pin-out/changes', to: { 'crank-lock': ['held', 'free'] } },
    ]);
    const found = of('law');
    expect(found).toMatchObject({
      found: 'way',
      variant: 'marram-three',
      procedure: 'install-and-synchronise',
    });
    const way = told(found?.way);
    expect(way.join('\n')).toMatch(/Push the timing pin.*Timing pin in the flywheel: withdrawn → fitted/);
    expect(way.at(-1)).toMatch(/the older revision did not allow/);
    // The numbers go on without a gap from the first step.
    const { way: steps = [] } = found ?? {};
    expect(steps[0]?.from).toBe(1);
    steps.slice(1).forEach((one, index) => {
      expect(one.from).toBe((steps[index]?.until ?? 0) + 1);
    });
    expect(found?.says).toMatch(/a job was driven along the way/);
  });
});

test('a reading need not be taken with the gauge at zero', () => {
  const { of } = behaviour([
    {
      set: '/procedures/install-and-synchronise/readings/rack-shift/requires',
      to: { rack: 'at-datum', pump: 'at-turning-torque' },
    },
    { set: 'install-and-synchronise#zero/changes', to: { rack: ['free', 'at-datum'] } },
  ]);
  const found = of('reading', 'requires');
  expect(found?.found).toBe('way');
  expect(told(found?.way).join('\n')).toMatch(/Dial indicator.*: absent → mounted/);
  expect(told(found?.way).join('\n')).not.toMatch(/→ zeroed/);
});

test('a limit accepts more: a value that did not conform, and a way to its step', () => {
  const { of } = behaviour([
    { set: '/procedures/first-start/tolerances/oil-pressure-limit/at-least', to: '1.1 bar' },
  ]);
  const found = of('tolerance', 'at-least');
  expect(found?.found).toBe('way');
  const value = Number.parseFloat(found?.value ?? '');
  expect(value).toBeGreaterThanOrEqual(1.1);
  expect(value).toBeLessThan(1.3);
  expect(told(found?.way).at(-1)).toContain(`conforming (${found?.value ?? '?'}`);
});

test('on a way past something that is looked at its answer stands there, and no limits', () => {
  const { permits } = behaviour([
    { set: '/procedures/first-start/tolerances/oil-pressure-limit/at-least', to: '120 kPa' },
  ]);
  const happens = (permits[0]?.way ?? []).flatMap((step) => step.happens);
  expect(happens).toContain('conforming (120 kPa, limits at least 120 kPa)');
  expect(happens).toContain('conforming (settles)');
});

test('a hold may be released by a concession: a way to the hold and to its release', () => {
  const { of } = behaviour([
    {
      insert: { concession: 'lead' },
      into: '/procedures/install-and-synchronise/holds/setting-will-not-settle/release',
      index: 0,
    },
  ]);
  const found = of('hold', 'release');
  expect(found?.found).toBe('way');
  expect(told(found?.way).at(-1)).toMatch(/released by concession of the lead/);
});

test('the crankshaft is turned the other way round: both plans, and why', () => {
  const { plans, says } = behaviour([
    { set: '/variants/marram-three/running-direction', to: 'anticlockwise, seen from the front' },
  ]);
  expect(plans).toHaveLength(1);
  expect(plans[0]).toMatchObject({
    variant: 'marram-three',
    before: { direction: 'clockwise, seen from the front' },
    after: { direction: 'anticlockwise, seen from the front' },
  });
  expect(plans[0]?.because).toEqual([
    'running-direction: was clockwise, seen from the front, is anticlockwise, seen from the front now',
  ]);
  expect(says.join(' ')).toMatch(/another for marram-three/);
});

test('a wider lift of the followers moves the stops: the plan of that variant alone', () => {
  const { plans } = behaviour([{ set: '/variants/marram-four/off-base/after', to: '160°' }]);
  expect(plans.map(({ variant }) => variant)).toEqual(['marram-four']);
  expect(plans[0]?.before).not.toEqual(plans[0]?.after);
  expect(plans[0]?.because).toEqual([expect.stringMatching(/^off-base, after: was \d+°, is 160° now$/)]);
});

test('another order of the bores is told in the order in which they are turned to', () => {
  const { plans } = behaviour([{ set: '/variants/marram-four/rotation/sequence', to: ['4', '3', '1', '2'] }]);
  expect(plans.map(({ because }) => because)).toEqual([
    [expect.stringMatching(/^rotation, sequence: was .*, is 4, 3, 1, 2 now$/)],
  ]);
});

test('the same pack does nothing otherwise', () => {
  const { permits, plans, forbids, trials } = behaviour([]);
  expect({ permits, plans, forbids, trials }).toEqual({
    permits: [],
    plans: [],
    forbids: 0,
    trials: { run: 0, pass: 0, others: [] },
  });
});

test('a law that is new and that the older steps would break is counted', () => {
  const { forbids } = behaviour([
    {
      insert: {
        law: 'no-turning-with-cover-off',
        says: 'The governor cover is off.',
        while: { 'governor-cover': 'off' },
        forbid: 'turn-crank',
      },
      into: '/interlocks',
      index: 0,
    },
  ]);
  expect(forbids).toBe(1);
});

test('without time nothing is said to be proved', () => {
  const after = packOf(edited(base, [{ remove: pinLaw }]));
  const found = compareBehaviour(before, after, { mostTime: 0 });
  expect(found.cutShort).toBe(true);
  expect(found.permits.map((one) => one.found)).toEqual(['cut-short']);
  expect(found.says.join(' ')).toMatch(/time was over/);
});

test('unit pumps 1.0.0 to 1.1.0: the trials that the narrower drift fails', {
  timeout: 120_000,
}, async () => {
  const read = async (revision: string) => packOf((await readPack(join(specs, revision))).document);
  const [old, now] = [await read('1.0.0'), await read('1.1.0')];
  const doing: string[] = [];
  const { trials, permits } = compareBehaviour(old, now, {
    mostTime: 100_000,
    onProgress: (one) => doing.push(one),
  });
  expect(trials.others.map(({ trial, now: state }) => [trial, state])).toEqual([
    ['set-point-at-its-limits', 'differs'],
    ['drift-in-the-guard-band', 'differs'],
    ['drift-never-decided', 'differs'],
  ]);
  expect(trials.run).toBe(Object.keys(old.trials ?? {}).length);
  expect(trials.others[0]?.because[0]).toMatch(/expected closed, found held.*read-drift/);
  expect(permits).toEqual([]);
  expect(doing).toEqual([`the ${trials.run} trials of the older revision`]);
});
