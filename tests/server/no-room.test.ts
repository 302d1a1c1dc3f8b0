import { chmodSync, chownSync, cpSync, mkdirSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { folderStore, jobPath } from '@ferrule/records';
import { expect, test } from 'vitest';
import { beginning } from '../../packages/server/test/beginning.ts';
import { ferrule } from '../cli/ferrule.ts';
import { scratch } from '../cli/scratch.ts';
import { type Answer, get, post, type Served, served, servedIn } from './served.ts';

const isWindows = process.platform === 'win32';

const note = (url: string, job: string, seq: number): Promise<Answer> =>
  post(`${url}/jobs/${job}/commands`, {
    ...{ id: `note-${String(seq).padStart(5, '0')}`, expectedSeq: seq, by: 'technician A' },
    command: { command: 'note', text: 'x'.repeat(1000 + 37 * (seq % 7)) },
  });

async function stop({ child, ended }: Served): Promise<string> {
  child.kill('SIGTERM');
  const { how, said } = await ended;
  expect(how, said).toBe(0);
  expect(said).not.toMatch(/defect|\n {4}at /);
  return said;
}

/** Bytes of the largest file in a store. */
const largestIn = (store: string): number =>
  Math.max(
    ...readdirSync(store, { recursive: true, withFileTypes: true })
      .filter((one) => one.isFile())
      .map((one) => statSync(join(one.parentPath, one.name)).size),
  );

test.skipIf(isWindows)(
  'where there is no more room the client is told, what was confirmed stays, and the same request is taken later',
  async () => {
    const folder = scratch();
    const jobs = join(folder, 'jobs');
    const before = await served(jobs);
    const begun = await post(`${before.url}/jobs`, { ...beginning, id: 'begin-0001' });
    const job = String(begun.json['job']);
    let seq = 1;
    // A job that is longer than its pack, so that the bound stops it and not the pack.
    while (statSync(jobPath(jobs, job)).size < largestIn(jobs)) {
      expect((await note(before.url, job, seq)).status).toBe(200);
      seq += 1;
    }
    await stop(before);
    const full = await servedIn({ longestFile: Math.ceil(largestIn(jobs) / 1024) + 8 }, jobs);
    let refused: Answer | undefined;
    for (let turn = 0; turn < 100 && refused === undefined; turn++) {
      const answer = await note(full.url, job, seq);
      if (answer.status === 200) seq += 1;
      else refused = answer;
    }
    expect(refused).toMatchObject({
      status: 503,
      json: { code: 'not-written', remedy: expect.stringContaining('send it again under the same id') },
    });
    expect(JSON.stringify(refused)).not.toContain(folder);
    // It goes on answering, and says nothing that is not on the disk.
    expect((await get(`${full.url}/jobs/${job}`)).json).toMatchObject({ seq, state: 'open' });
    expect((await get(`${full.url}/jobs`)).json['jobs']).toMatchObject([{ job, facts: seq }]);
    expect((await note(full.url, job, seq)).json['code']).toBe('not-written');
    const read = folderStore(jobs).read(job);
    expect(read.facts).toHaveLength(seq);
    // What was half written is taken back at once.
    expect(read).not.toHaveProperty('torn');
    expect(folderStore(jobs).verify(job)).toMatchObject({ isSound: true });
    // Whoever runs it is told why, and where.
    expect((await stop(full)).replace(/\s+/g, ' ')).toMatch(
      /ferrule: The job file .* cannot be written \(E(?:FBIG|NOSPC)\)\. Nothing was recorded\./,
    );
    const roomy = await served(jobs);
    expect(await note(roomy.url, job, seq)).toMatchObject({ status: 200, json: { seq: seq + 1 } });
    await stop(roomy);
    expect(folderStore(jobs).verify(job)).toMatchObject({ isSound: true, facts: seq + 1 });
  },
);

test.skipIf(isWindows)(
  'a job that there is no room for is none, and is begun by the same request later',
  async () => {
    const jobs = join(scratch(), 'jobs');
    const full = await servedIn({ longestFile: 1 }, jobs);
    const request = { ...beginning, id: 'begin-0001' };
    expect(await post(`${full.url}/jobs`, request)).toMatchObject({
      status: 503,
      json: { code: 'not-written' },
    });
    expect((await get(`${full.url}/jobs`)).json).toMatchObject({ jobs: [], faults: [] });
    await stop(full);
    expect(folderStore(jobs).names()).toEqual([]);
    const roomy = await served(jobs);
    expect((await post(`${roomy.url}/jobs`, request)).status).toBe(201);
    await stop(roomy);
    expect(folderStore(jobs).names()).toHaveLength(1);
  },
);

// Root may write everywhere, so the server runs as another user then.
const user = process.getuid?.() === 0 ? 65534 : undefined;

/** Gives a store to the user that the server runs as, so that rights count; answers how to take and give them. */
function rightsOf(store: string): (mode: number) => void {
  const all = readdirSync(store, { recursive: true }).map((name) => join(store, String(name)));
  for (const path of [store, ...all]) if (user !== undefined) chownSync(path, user, user);
  return (mode) => chmodSync(store, mode);
}

test.skipIf(isWindows)(
  'a store that becomes read-only is read and shown; what would change it is refused, and taken once it may be written',
  async () => {
    const folder = scratch();
    chmodSync(folder, 0o755);
    const jobs = join(folder, 'jobs');
    mkdirSync(jobs);
    const allow = rightsOf(jobs);
    const server = await servedIn(user === undefined ? {} : { user }, jobs);
    const { url } = server;
    const begun = await post(`${url}/jobs`, { ...beginning, id: 'begin-0001' });
    expect(begun.status, JSON.stringify(begun.json)).toBe(201);
    const job = String(begun.json['job']);
    const path = jobPath(jobs, job);
    const before = readFileSync(path);
    allow(0o555);
    expect(await note(url, job, 1)).toMatchObject({ status: 503, json: { code: 'not-written' } });
    expect(await post(`${url}/jobs`, { ...beginning, id: 'begin-0002' })).toMatchObject({
      ...{ status: 503, json: { code: 'not-written' } },
    });
    const picture = await fetch(`${url}/jobs/${job}/photographs`, {
      ...{ method: 'POST', headers: { 'content-type': 'image/png' } },
      body: Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex'),
    });
    expect([picture.status, Object(await picture.json()).code]).toEqual([503, 'not-written']);
    for (const part of ['', '/offers', '/facts', '/card?form=json', '/verification'])
      expect((await get(`${url}/jobs/${job}${part}`)).status, part).toBe(200);
    expect((await get(`${url}/jobs`)).json['jobs']).toMatchObject([{ job, facts: 1 }]);
    expect(readFileSync(path)).toEqual(before);
    allow(0o755);
    expect(await note(url, job, 1)).toMatchObject({ status: 200, json: { seq: 2 } });
    await stop(server);
    expect(folderStore(jobs).verify(job)).toMatchObject({ isSound: true, facts: 2 });
  },
);

test.skipIf(isWindows || user === undefined)(
  'a store that may not be written is told before it is served',
  async () => {
    const folder = scratch();
    chmodSync(folder, 0o755);
    const jobs = join(folder, 'jobs');
    mkdirSync(jobs);
    rightsOf(jobs)(0o555);
    await expect(servedIn(user === undefined ? {} : { user }, jobs)).rejects.toThrow(
      /the server ended \(2\): ferrule: No job can be kept in .* \(EACCES\)\. You have\s+no\s+right to write there\./,
    );
  },
);

test('a folder that is taken by a file is told before it is served', () => {
  const folder = scratch();
  cpSync('package.json', join(folder, 'jobs'));
  const ran = ferrule(['serve', '--packs', 'specs', '--jobs', join(folder, 'jobs'), '--port', '0']);
  expect(ran).toMatchObject({ exitCode: 2, stdout: '' });
  expect(ran.stderr.replace(/\s+/g, ' ')).toContain('jobs is no folder. Jobs are kept in a folder');
});
