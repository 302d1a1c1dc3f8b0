import { renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { folderStore } from '@ferrule/records';
import { expect, test } from 'vitest';
import { putSettling, settlingJob } from '../../packages/server/test/settling.ts';
import { ferrule } from '../cli/ferrule.ts';
import { scratch } from '../cli/scratch.ts';
import { get, post, servedIn } from './served.ts';

const note = (text: string) => ({ command: 'note', text });

test('an id keeps its meaning through a kill: the same request has its answer, and another one is told', async () => {
  const folder = scratch();
  putSettling(join(folder, 'shelf'));
  const packs = join(folder, 'shelf');
  const jobs = join(folder, 'jobs');
  const begin = { ...settlingJob, id: 'begin-0001', by: 'technician A' };
  const first = await servedIn({ packs }, jobs);
  const begun = await post(`${first.url}/jobs`, begin);
  const address = `/jobs/${String(begun.json['job'])}/commands`;
  const asked = { id: 'note-00001', expectedSeq: 1, by: 'technician A', command: note('One.') };
  const answer = await post(first.url + address, asked);
  expect(answer.status).toBe(200);
  first.child.kill('SIGKILL');
  await first.ended;
  const second = await servedIn({ packs }, jobs);
  expect(await post(second.url + address, asked)).toEqual(answer);
  expect(await post(`${second.url}/jobs`, begin)).toMatchObject({ status: 201, json: begun.json });
  for (const other of [
    { ...asked, command: note('Another.') },
    { ...asked, by: 'technician B' },
    { ...asked, expectedSeq: 2, command: { command: 'done', step: 'stop' } },
  ])
    expect(await post(second.url + address, other)).toMatchObject({ status: 409, json: { code: 'id-used' } });
  const otherJob = { ...begin, persons: [{ role: 'technician', person: 'technician B' }] };
  expect(await post(`${second.url}/jobs`, otherJob)).toMatchObject({
    status: 409,
    json: { code: 'id-used' },
  });
  expect((await get(`${second.url}/jobs`)).json['jobs']).toMatchObject([{ facts: 2 }]);
  second.child.kill('SIGTERM');
  expect((await second.ended).how).toBe(0);
});

test('a pack that vanishes begins no job, and the jobs that it has begun go on, here, after a restart and in the terminal', async () => {
  const folder = scratch();
  const packs = join(folder, 'shelf');
  const pack = putSettling(packs);
  const jobs = join(folder, 'jobs');
  const server = await servedIn({ packs }, jobs);
  const { url } = server;
  const begin = (id: string) => post(`${url}/jobs`, { ...settlingJob, id, by: 'technician A' });
  const job = String((await begin('begin-0001')).json['job']);
  renameSync(pack, join(folder, 'elsewhere'));
  expect((await get(`${url}/packs`)).json['packs']).toEqual([]);
  const gone = { status: 404, json: { code: 'no-such-pack', remedy: expect.stringContaining('GET /packs') } };
  expect(await begin('begin-0002')).toMatchObject(gone);
  expect(await get(`${url}/packs/settling/1.0.0`)).toMatchObject(gone);
  // The request that has begun a job before is answered as it was.
  expect(await begin('begin-0001')).toMatchObject({ status: 201, json: { job } });
  // The whole shelf goes, and with it nothing of the job.
  rmSync(packs, { recursive: true });
  expect((await get(`${url}/packs`)).json['packs']).toEqual([]);
  const give = (base: string, id: string, expectedSeq: number, command: object) =>
    post(`${base}/jobs/${job}/commands`, { id, expectedSeq, by: 'technician A', command });
  expect((await give(url, 'stop-00001', 1, { command: 'done', step: 'stop' })).status).toBe(200);
  server.child.kill('SIGKILL');
  await server.ended;
  const empty = scratch();
  const again = await servedIn({ packs: empty }, jobs);
  expect((await get(`${again.url}/jobs/${job}`)).json).toMatchObject({
    ...{ seq: 2, standing: 'at-step', notice: 'Demonstration data, invented.' },
    release: { state: 'unsigned', words: 'unsigned' },
  });
  expect((await give(again.url, 'note-00001', 2, note('Goes on.'))).status).toBe(200);
  again.child.kill('SIGTERM');
  expect((await again.ended).how).toBe(0);
  const ran = ferrule(['run', '--jobs', jobs, '--job', job], { lines: ['note At the bench.', 'quit'] });
  expect(ran.exitCode, ran.stderr).toBe(0);
  expect(folderStore(jobs).verify(job)).toMatchObject({ isSound: true, facts: 4 });
});

test('a shelf that is not there is told before anything is served', () => {
  const ran = ferrule(['serve', '--packs', join(scratch(), 'none'), '--jobs', join(scratch(), 'jobs')]);
  expect(ran).toMatchObject({ exitCode: 2, stdout: '' });
  expect(ran.stderr.replace(/\s+/g, ' ')).toContain('is no folder. --packs names one that holds packs.');
});
