import { cpSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { advance, resolve, startControl } from '@ferrule/engine';
import { cellValue } from '@ferrule/print';
import { expect, test } from 'vitest';
import { finished } from './finished.ts';
import { Rig, scratch, specs } from './rig.ts';

/** A shelf with one pack, in one file of which a text was replaced. */
function shelfWith(file: string, from: string, to: string): string {
  const folder = join(scratch(), 'valve-clearance', '1.0.0');
  cpSync(join(specs, 'valve-clearance/1.0.0'), folder, { recursive: true });
  const path = join(folder, file);
  const text = readFileSync(path, 'utf8');
  if (!text.includes(from)) throw new Error(`${file} does not have ${from}`);
  writeFileSync(path, text.replace(from, to));
  return join(folder, '../..');
}

const check = '/packs/valve-clearance/1.0.0/check';
const trials = '/packs/valve-clearance/1.0.0/trials';

test('a pack without a fault: what was looked at, and that each guarantee holds', async () => {
  const { status, json } = await finished(new Rig(), check);
  expect(status).toBe(200);
  expect(json).toMatchObject({
    notice: expect.stringContaining('Demonstration data'),
    findings: [],
    faults: [],
    looked: { isProved: true, files: expect.arrayContaining(['pack.yaml']) },
    procedures: [{ procedure: 'set-clearances', variants: [{ variant: 'marram-four', isCutShort: false }] }],
  });
  const [procedure] = Object(json['procedures']);
  const standings = procedure.guarantees.map((one: { standing: Record<string, string> }) => one.standing);
  expect(standings).toEqual(standings.map(() => ({ 'marram-four': 'holds' })));
  const [{ statesAt, states }] = procedure.variants;
  const told = Object.values(statesAt as Record<string, number>).reduce((sum, one) => sum + one, 0);
  // The end is a place as well, and none of the pack.
  expect(told).toBeLessThan(states);
  expect(told).toBeGreaterThan(states / 2);
});

test('a guarantee that does not hold: the way to it, one step after the other, as a job really goes it', async () => {
  const changes = '    changes: { cloths: [in, out] }\n';
  const packs = [shelfWith('procedures/set-clearances.yaml', changes, '')];
  const { json } = await finished(new Rig({ packs }), check);
  const faults = Object(json['faults']);
  const fault = faults.find((one: { guarantee: string }) => one.guarantee === 'allowed');
  expect(fault).toMatchObject({
    procedure: 'set-clearances',
    variant: 'marram-four',
    means: expect.stringContaining('when that is forbidden'),
    law: { file: expect.stringMatching(/\.yaml$/), text: { text: expect.stringContaining('law') } },
    watched: expect.arrayContaining(['cloths']),
    replayed: expect.stringContaining('it really comes to this'),
    mend: expect.stringMatching(/^To mend it/),
  });
  expect(fault.visits.at(-1).until).toBe(fault.signals.length);
  const finding = Object(json['findings']).find((one: { code: string }) => one.code === 'law-broken');
  expect(finding).toMatchObject({
    severity: 'error',
    fault: faults.indexOf(fault),
    remedy: expect.stringMatching(/./),
    place: {
      file: 'procedures/set-clearances.yaml',
      text: { text: expect.stringContaining('step: cover-on') },
    },
  });
  const [procedure] = Object(json['procedures']);
  const standing = Object.fromEntries(
    procedure.guarantees.map((one: { guarantee: string; standing: Record<string, string> }) => [
      one.guarantee,
      one.standing['marram-four'],
    ]),
  );
  expect(standing).toMatchObject({ allowed: 'refuted', judged: 'as-far-as-seen' });
});

test('a way is told in signals of the plan that a bundle gives, in which names stand in another order', async () => {
  const shelf = scratch();
  const folder = join(shelf, 'gallery', '1.0.0');
  mkdirSync(join(folder, 'procedures'), { recursive: true });
  writeFileSync(
    join(folder, 'pack.yaml'),
    `format: 1
pack: gallery
revision: 1.0.0
title: Fuel gallery
source: Invented for this test
notice: Demonstration data, invented.
roles:
  technician: { title: Technician }
variants:
  any-engine: { title: Any engine }
states:
  tap: { title: Fuel tap, is: [shut, open], starts: shut, ends: shut }
  plug: { title: Plug, is: [in, out], starts: in, ends: in }
interlocks:
  - law: shut-before-plug
    says: The tap is open. Shut it before the plug comes out.
    entering: { plug: out }
    only-while: { tap: shut }
`,
  );
  writeFileSync(
    join(folder, 'procedures/look.yaml'),
    `procedure: look
title: Look for leaks
source: Invented for this test
preliminary: { conditions: [], persons: [technician], equipment: [], supplies: [], spares: [], safety: [] }
observations:
  weather: { text: The weather is …, answers: { wet: wet, dry: dry } }
  joint: { text: The joint is …, answers: { tight: tight, drips: dripping } }
steps:
  - step: see-weather
    do: Look at the sky.
    observe: weather
  - step: see-joint
    do: Look at the joint.
    observe: joint
  - choose: by-joint
    cases:
      - when: { observed: { joint: tight } }
        steps:
          - { step: open-tap, do: Open the tap., changes: { tap: [shut, open] } }
          - { step: plug-out, do: Take the plug out., changes: { plug: [in, out] } }
          - { step: plug-in, do: Put the plug back., changes: { plug: [out, in] } }
          - { step: shut-tap, do: Shut the tap., changes: { tap: [open, shut] } }
      - when: { observed: { joint: drips } }
        steps:
          - { step: wipe, do: Wipe the joint. }
`,
  );
  const rig = new Rig({ packs: [shelf] });
  const { json } = await finished(rig, '/packs/gallery/1.0.0/check');
  const [fault] = Object(json['faults']);
  expect(fault).toMatchObject({
    watched: ['tap'],
    standing: [expect.stringContaining('"open"'), expect.anything()],
  });
  const bundle = (await rig.get(`/bundles/${json['digest']}`)).json;
  const { plan } = resolve(Object(bundle['document']), { procedure: 'look', variant: 'any-engine' });
  if (plan === undefined) throw new Error('no plan');
  let control = startControl(plan);
  for (const signal of fault.signals) control = advance(plan, control, signal);
  expect(plan.nodes[control.at]?.path).toBe('by-joint/case-1/plug-out');
  const tap = plan.cells.findIndex(({ name }) => name === 'tap');
  expect(cellValue(plan, tap, control.bytes[tap] ?? 0)).toBe('open');
});

test('a pack that cannot be read: its faults, and no trials', async () => {
  const packs = [shelfWith('pack.yaml', 'title: Valve', 'titel: Valve')];
  const rig = new Rig({ packs });
  const { status, json } = await finished(rig, check);
  expect([status, json['procedures']]).toEqual([200, []]);
  expect(Object(json['looked']).isProved).toBe(false);
  expect(Object(json['findings'])).toEqual(
    expect.arrayContaining([
      expect.objectContaining({ place: expect.objectContaining({ file: 'pack.yaml' }) }),
    ]),
  );
  expect(await finished(rig, trials)).toMatchObject({ status: 409, json: { code: 'faulty-pack' } });
});

test('trials: how each came out, and what none has reached', async () => {
  const packs = [shelfWith('trials/trials.yaml', 'holds: [clearance-stays-outside]', 'holds: []')];
  const { status, json } = await finished(new Rig({ packs }), trials);
  expect(status).toBe(200);
  const all: readonly { readonly failures: readonly string[] }[] = Object(json['trials']);
  const failed = all.filter(({ failures }) => failures.length > 0);
  expect(failed).toHaveLength(1);
  expect(failed[0]).toMatchObject({
    failures: [expect.stringContaining('holds: expected none, found clearance-stays-outside')],
    place: { file: 'trials/trials.yaml' },
  });
  // What a failed trial went through is not counted.
  const [coverage] = Object(json['coverage']);
  expect(coverage.unreached.length).toBeGreaterThan(0);
  expect(coverage.unreached[0]).toMatchObject({ why: expect.stringMatching(/^no trial /) });
});

test('what was found is kept until a file changes', async () => {
  const shelf = shelfWith('pack.yaml', 'title: Valve', 'title: Valve');
  const rig = new Rig({ packs: [shelf] });
  const first = await finished(rig, check);
  expect((await rig.get(check)).text).toBe(first.text);
  const path = join(shelf, 'valve-clearance/1.0.0/pack.yaml');
  writeFileSync(path, `${readFileSync(path, 'utf8')}\nnonsense: 1\n`);
  const second = await finished(rig, check);
  expect(Object(second.json['findings'])).toEqual([expect.objectContaining({ code: 'unknown-key' })]);
});

test('a pack on the shelf is given by its digest, whole', async () => {
  const rig = new Rig();
  const { json } = await rig.get('/packs/valve-clearance/1.0.0');
  const bundle = await rig.get(`/bundles/${String(json['digest'])}`);
  expect(Object(bundle.json['document'])).toMatchObject({ pack: 'valve-clearance' });
});
