import { expect, test } from 'vitest';
import { Rig } from './rig.ts';

test('a job is begun, looked at and worked on', async () => {
  const rig = new Rig();
  const { json: packs } = await rig.get('/packs');
  expect(packs['packs']).toContainEqual(
    expect.objectContaining({ pack: 'valve-clearance', revision: '1.0.0' }),
  );
  const pack = await rig.get('/packs/valve-clearance/1.0.0');
  expect(pack.status).toBe(200);
  const sheet = await rig.get(
    '/packs/valve-clearance/1.0.0/sheet?procedure=set-clearances&variant=marram-four',
  );
  expect(sheet.status, sheet.text).toBe(200);
  const job = await rig.begin();
  const found = await rig.get(`/jobs/${job}`);
  expect(found.json).toMatchObject({ job, state: 'open', release: { state: 'unsigned' } });
  const offers = await rig.get(`/jobs/${job}/offers`);
  expect(offers.status, offers.text).toBe(200);
  const given = await rig.give(job, 'note-00001', 1, { command: 'note', text: 'begun' });
  expect(given.status, given.text).toBe(200);
  expect((await rig.get(`/jobs/${job}/facts`)).json['facts']).toHaveLength(2);
  expect((await rig.get(`/jobs/${job}/verdicts`)).status).toBe(200);
  expect((await rig.get(`/jobs/${job}/handed-on`)).status).toBe(200);
  expect((await rig.get('/jobs?state=open')).json['jobs']).toHaveLength(1);
  expect((await rig.get('/problems/id-used')).status).toBe(200);
  expect((await rig.get('/openapi.json')).status).toBe(200);
  expect(rig.defects).toEqual([]);
});
