import { expect, test } from 'vitest';
import { Rig, specs } from './rig.ts';

const address = '/packs/marram-unit-pumps/1.1.0/comparison?with=1.0.0';

test('a revision beside an older one: as JSON and as a page', async () => {
  const rig = new Rig();
  const { status, json } = await rig.get(address);
  expect(status).toBe(200);
  expect(json).toMatchObject({
    format: 'ferrule-comparison-1',
    before: { name: 'marram-unit-pumps/1.0.0' },
    bump: { called: 'minor', needed: 'minor', fits: true },
    account: { changelog: 'read', findings: [] },
  });
  // A place is one in the files, and the folder of the shelf is not told.
  expect(JSON.stringify(json)).toContain(
    '"says":"0 mm ± 0.012 mm","other":"0.0 in ± 0.00047 in","place":{"file":"procedures/install-and-synchronise.yaml","line":96,"column":16}',
  );
  expect(JSON.stringify(json)).not.toContain(specs);
  const html = await rig.get(`${address}&form=html`);
  expect(html.text).toContain('Ferrule never says that a job is safe.');
  expect(html.text).toContain('Demonstration data.');
  expect(String(html.headers['content-security-policy'])).toContain("default-src 'none'");
});

test('a revision that is not there, and one that is not named', async () => {
  const rig = new Rig();
  const gone = await rig.get('/packs/marram-unit-pumps/1.1.0/comparison?with=9.0.0');
  expect(gone.json).toMatchObject({ code: 'no-such-pack' });
  const silent = await rig.get('/packs/marram-unit-pumps/1.1.0/comparison');
  expect(silent.json).toMatchObject({ code: 'invalid-request' });
  const maybe = await rig.get('/packs/marram-unit-pumps/1.1.0/comparison?with=1.0.0&behaviour=maybe');
  expect(maybe.json).toMatchObject({
    ...{ status: 400, pointer: '/query/behaviour', operands: { known: ['yes'], value: 'maybe' } },
    detail: '/query/behaviour is maybe, and that is none of yes.',
  });
});
