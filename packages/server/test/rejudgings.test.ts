import { readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { folderStore } from '@ferrule/records';
import { expect, test } from 'vitest';
import { createServer } from '../src/index.ts';
import { type Reply, Rig, specs } from './rig.ts';

const asked = { id: 'rejudge-0001', pack: 'valve-clearance', revision: '1.0.0' };

/** Waits until a rejudging is over. */
async function over(rig: Rig, id = asked.id): Promise<Reply> {
  for (let tries = 0; tries < 500; tries++) {
    const found = await rig.get(`/rejudgings/${id}`);
    if (found.json['state'] !== 'under-way') return found;
    await new Promise((next) => setTimeout(next, 20));
  }
  throw new Error(`${id} does not end`);
}

test('jobs are judged again: begun, looked at, listed, and read in every form', async () => {
  const rig = new Rig();
  await rig.begin();
  const begun = await rig.post('/rejudgings', asked);
  expect(begun).toMatchObject({
    status: 202,
    headers: { location: '/rejudgings/rejudge-0001' },
    json: {
      rejudging: 'rejudge-0001',
      state: 'under-way',
      all: false,
      title: 'Valve clearance of the Marram four-cylinder',
    },
  });
  expect(String(begun.json['notice'])).toContain('emonstration');
  const done = await over(rig);
  expect(done.json).toMatchObject({ state: 'done', jobs: { total: 1, done: 1 }, rowCount: 0 });
  expect(done.json['says']).toContain('No verdict of 1 job comes out otherwise under 1.0.0.');
  const list = await rig.get('/rejudgings');
  expect(list.json['rejudgings']).toMatchObject([{ rejudging: 'rejudge-0001', state: 'done' }]);
  const report = await rig.get('/rejudgings/rejudge-0001/report');
  expect(report.json).toMatchObject({
    format: 'ferrule-rejudged-1',
    jobs: 1,
    store: 'this server',
    rows: [],
  });
  const html = await rig.get('/rejudgings/rejudge-0001/report', { headers: { accept: 'text/html' } });
  expect(html.text).toContain('Ferrule never says that a job is safe.');
  expect(String(html.headers['content-security-policy'])).toContain("default-src 'none'");
  const csv = await rig.get('/rejudgings/rejudge-0001/report?form=csv');
  expect(csv.text).toMatch(/^job,revision,.*\r\n$/);
  expect(rig.defects).toEqual([]);
});

test('the same request under its id is answered as it is now, and another one under it is told', async () => {
  const rig = new Rig();
  await rig.begin();
  await rig.post('/rejudgings', asked);
  const { json: done } = await over(rig);
  expect(await rig.post('/rejudgings', asked)).toMatchObject({ status: 202, json: done });
  const restarted = new Rig({}, rig.folder);
  expect(await restarted.post('/rejudgings', asked)).toMatchObject({ status: 202, json: done });
  const other = await restarted.post('/rejudgings', { ...asked, all: true });
  expect(other).toMatchObject({ status: 409, json: { code: 'id-used', pointer: '/id' } });
});

test('what cannot be judged again is told before anything begins', async () => {
  const rig = new Rig();
  const empty = await rig.post('/rejudgings', asked);
  expect(empty).toMatchObject({ status: 404, json: { code: 'no-such-job' } });
  await rig.begin();
  const cases = [
    [{ pack: 'nothing' }, 404, 'no-such-pack'],
    [{ revision: '9.0.0' }, 404, 'no-such-pack'],
    [{ overlay: { overlay: 'of-nobody', revision: '1.0.0' } }, 404, 'no-such-pack'],
    [{ pack: 'marram-unit-pumps', revision: '1.1.0' }, 404, 'no-such-job'],
    [{ procedure: 'paint-it' }, 404, 'no-such-job'],
    [{ id: '../../etc' }, 400, 'invalid-request'],
    [{ threads: 64 }, 400, 'invalid-request'],
  ] as const;
  for (const [more, status, code] of cases)
    expect(await rig.post('/rejudgings', { ...asked, ...more }), code).toMatchObject({
      status,
      json: { code },
    });
  expect((await rig.get('/rejudgings')).json['rejudgings']).toEqual([]);
  expect((await rig.get('/rejudgings/rejudge-0001')).json).toMatchObject({ code: 'no-such-rejudging' });
  expect((await rig.get('/rejudgings/..%2F..%2Fx/report')).json).toMatchObject({ code: 'invalid-request' });
  const stop = await rig.call({ method: 'POST', url: '/rejudgings/rejudge-0001/stop' });
  expect(stop.json).toMatchObject({ code: 'no-such-rejudging' });
});

test('one that a server left under way is cut off, and goes on when it is asked for again', async () => {
  const rig = new Rig();
  await rig.begin();
  await rig.post('/rejudgings', asked);
  // The server ends before the work has begun.
  await rig.app.close();
  const restarted = new Rig({}, rig.folder);
  expect((await restarted.get('/rejudgings/rejudge-0001')).json).toMatchObject({ state: 'cut-off' });
  expect(await restarted.post('/rejudgings', asked)).toMatchObject({
    status: 202,
    json: { state: 'under-way' },
  });
  expect((await over(restarted)).json).toMatchObject({ state: 'done' });
});

test('of many the oldest go, with their reports; what cannot be read is left aside', async () => {
  const rig = new Rig({ limits: { rejudgings: 2 } });
  await rig.begin();
  for (const id of ['rejudge-0001', 'rejudge-0002', 'rejudge-0003']) {
    rig.clock = new Date(rig.clock.getTime() + 60_000);
    expect((await rig.post('/rejudgings', { ...asked, id })).status).toBe(202);
    await over(rig, id);
  }
  const names = (list: Reply) =>
    Object(list.json['rejudgings'])
      .map(Object)
      .map((one: object) => Object(one).rejudging);
  expect(names(await rig.get('/rejudgings'))).toEqual(['rejudge-0003', 'rejudge-0002']);
  const folder = join(rig.folder, 'rejudgings');
  const folders = readdirSync(folder);
  expect(folders).toHaveLength(2);
  writeFileSync(join(folder, folders[0] ?? '', 'rejudging.json'), '{"format":');
  expect(names(await rig.get('/rejudgings'))).toHaveLength(1);
  // A list of jobs knows nothing of them.
  expect((await rig.get('/jobs')).json['jobs']).toHaveLength(1);
  expect((await rig.get('/jobs')).json['faults']).toEqual([]);
});

test('where the store cannot be written, or its folder is not known, nothing begins', async () => {
  const rig = new Rig();
  await rig.begin();
  writeFileSync(join(rig.folder, 'rejudgings'), 'a file where the folder should be');
  expect((await rig.post('/rejudgings', asked)).json).toMatchObject({ code: 'not-written' });
  expect(rig.notes.join()).toContain('rejudgings');
  rmSync(join(rig.folder, 'rejudgings'));
  const bare = createServer({ store: folderStore(rig.folder), packs: [specs] });
  const headers = { host: '127.0.0.1:8321' };
  const refused = await bare.inject({ method: 'POST', url: '/rejudgings', headers, payload: asked });
  expect([refused.statusCode, JSON.parse(refused.body).code]).toEqual([501, 'no-store-folder']);
  await bare.close();
});

test('an aside names the file and not where it is', async () => {
  const rig = new Rig();
  await rig.begin();
  writeFileSync(join(rig.folder, '2026-03-03-broken.jsonl'), 'no record\n');
  await rig.post('/rejudgings', asked);
  await over(rig);
  for (const form of ['json', 'html']) {
    const { text } = await rig.get(`/rejudgings/rejudge-0001/report?form=${form}`);
    expect(text).toContain('2026-03-03-broken');
    expect(text).not.toContain(rig.folder);
  }
});
