import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { finished } from './finished.ts';
import { Rig, scratch, specs } from './rig.ts';

const pack = '/packs/valve-clearance/1.0.0';
const laid = 'overlay=lee-quay&overlayRevision=1.0.0';

/** A shelf of its own with an overlay over the valve clearances: a caution at one step, and a stricter limit. */
async function shelfWithOverlay(more = ''): Promise<string> {
  const shelf = scratch();
  const { packs } = (await new Rig().get('/packs')).json;
  const { digest } = Object(packs).find((one: { pack: string }) => one.pack === 'valve-clearance');
  const folder = join(shelf, 'lee-quay', '1.0.0');
  mkdirSync(folder, { recursive: true });
  writeFileSync(
    join(folder, 'overlay.yaml'),
    `format: '1'
overlay: lee-quay
revision: 1.0.0
title: What the workshop at the lee quay adds
source: Lee quay, standing orders, sheet 1 (invented)
over: { pack: valve-clearance, revision: 1.0.0, digest: '${digest}' }
hazards:
  swell: { signal: caution, text: The engine moves with the boat. }
cautions:
  - { step: set-clearances/measure-inlet, hazards: [swell] }
stricter:
  - { tolerance: set-clearances/exhaust-limits, at-least: 0.41 mm, source: 'Lee quay, sheet 1 (invented)' }
${more}`,
  );
  return shelf;
}

test('an overlay stands on the list of the shelf with the pack that it is for, and the digest of both together', async () => {
  const rig = new Rig({ packs: [specs, await shelfWithOverlay()] });
  const { overlays } = (await rig.get('/packs')).json;
  const [own] = Object(overlays).filter((one: { overlay: string }) => one.overlay === 'lee-quay');
  expect(own).toEqual({
    ...{ overlay: 'lee-quay', revision: '1.0.0', title: 'What the workshop at the lee quay adds' },
    over: { pack: 'valve-clearance', revision: '1.0.0' },
    digest: expect.stringMatching(/^sha256:/),
    release: { state: 'unsigned', approved: false, words: 'unsigned' },
    diagnostics: { errors: 0, warnings: 0 },
  });
  const { json } = await rig.get(`/bundles/${own.digest}`);
  expect(json['document']).toMatchObject({
    overlaid: { overlay: 'lee-quay' },
    hazards: { swell: { signal: 'caution' } },
  });
});

test('a pack is checked with an overlay laid over it, and the files of another shelf are named as if beside it', async () => {
  const rig = new Rig({ packs: [specs, await shelfWithOverlay('cautions-of-old: []\n')] });
  const plain = await finished(rig, `${pack}/check`);
  expect(plain.json['findings']).toEqual([]);
  const { json } = await finished(rig, `${pack}/check?${laid}`);
  expect(json).toMatchObject({
    overlay: { overlay: 'lee-quay', revision: '1.0.0', release: { words: 'unsigned' } },
    findings: [
      {
        code: 'unknown-key',
        place: {
          file: '../../lee-quay/1.0.0/overlay.yaml',
          text: { text: expect.stringContaining('cautions-of-old') },
        },
      },
    ],
  });
  expect(json['looked']).toMatchObject({
    files: expect.arrayContaining(['../../lee-quay/1.0.0/overlay.yaml', 'pack.yaml']),
  });
});

test('with an overlay the proof and the trials are of both together', async () => {
  const rig = new Rig({ packs: [specs, await shelfWithOverlay()] });
  const plain = (await finished(rig, `${pack}/check`)).json;
  const { json } = await finished(rig, `${pack}/check?${laid}`);
  // The feeler gauge of the pack is coarse for the stricter limit: that is told at the overlay, which lays it down.
  expect(json['findings']).toMatchObject([
    { severity: 'warning', code: 'too-coarse', place: { file: '../../lee-quay/1.0.0/overlay.yaml' } },
  ]);
  expect(json['procedures']).toMatchObject([{ variants: [{ isCutShort: false }] }]);
  expect(json['digest']).not.toBe(plain['digest']);
  expect((await rig.get(`/bundles/${json['digest']}`)).status).toBe(200);
  // The trials of the pack speak of the pack alone, and the overlay has none.
  expect((await finished(rig, `${pack}/trials?${laid}`)).json).toMatchObject({
    overlay: { overlay: 'lee-quay', title: 'What the workshop at the lee quay adds' },
    trials: [],
  });
  expect(Object((await finished(rig, `${pack}/trials`)).json['trials']).length).toBeGreaterThan(0);
});

test('what an overlay adds is compared with the pack alone', async () => {
  const rig = new Rig({ packs: [specs, await shelfWithOverlay()] });
  const { json } = await rig.get(`${pack}/comparison?with=1.0.0&${laid}`);
  expect(json['after']).toMatchObject({ overlay: { id: 'lee-quay', revision: '1.0.0' } });
  expect(json['before']).not.toHaveProperty('overlay');
  const changes = Object(json['changes']);
  expect(changes.map((one: { change: string }) => one.change)).toEqual(
    expect.arrayContaining(['caution-added', 'tightened']),
  );
  for (const { after } of changes)
    if (after?.place !== undefined)
      expect(after.place.file).not.toMatch(/^\.\.\/(?!\.\.\/lee-quay\/1\.0\.0\/)/);
  const both = await rig.get(
    `${pack}/comparison?with=1.0.0&${laid}&overlayBefore=lee-quay&overlayBeforeRevision=1.0.0`,
  );
  expect(both.json['changes']).toEqual([]);
});

test.each([
  ['check', `${pack}/check?overlay=lee-quay`, 'invalid-request', '/query/overlayRevision'],
  ['trials', `${pack}/trials?overlayRevision=1.0.0`, 'invalid-request', '/query/overlay'],
  [
    'a comparison',
    `${pack}/comparison?with=1.0.0&overlayBefore=lee-quay`,
    'invalid-request',
    '/query/overlayBeforeRevision',
  ],
  ['an overlay that is none', `${pack}/check?${laid}`, 'no-such-pack', undefined],
])('half an overlay, or none that there is, is refused: %s', async (_, url, code, pointer) => {
  expect((await new Rig().get(url)).json).toMatchObject({ code, ...(pointer && { pointer }) });
});
