import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  truncateSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { beginning } from './beginning.ts';
import { Rig, scratch } from './rig.ts';

const fileOf = ({ folder }: Rig, job: string): string => join(folder, `${job}.jsonl`);

/** The clock of a file system has ticks of some milliseconds, and what happens within one does not show. */
const tick = (): Promise<void> => new Promise((done) => setTimeout(done, 50));

/** Changes a record in place, to the same length, and sets its time of change back. */
async function change(file: string, was: string, is: string): Promise<void> {
  await tick();
  const { atime, mtime } = statSync(file);
  writeFileSync(file, readFileSync(file, 'utf8').replaceAll(was, is));
  utimesSync(file, atime, mtime);
}

/** Every address that shows a job, or does something with it. */
const seen = ['', '/offers', '/facts', '/verdicts', '/handed-on', '/stream', '/card', '/record'] as const;

test('a record that is changed in place under the server is noticed at once, at every address', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  await rig.give(job, 'note-00001', 1, { command: 'note', text: 'As it was.' });
  const whole = readFileSync(fileOf(rig, job));
  for (const address of seen.filter((one) => one !== '/stream' && one !== '/handed-on'))
    expect((await rig.get(`/jobs/${job}${address}`)).status, address).toBe(200);
  await change(fileOf(rig, job), 'As it was.', 'As it is!!');
  expect(readFileSync(fileOf(rig, job))).toHaveLength(whole.length);
  for (const address of seen)
    expect((await rig.get(`/jobs/${job}${address}`)).json, address).toMatchObject({
      ...{ code: 'unreadable-job', status: 409, operands: { job, line: 3 } },
      remedy: expect.stringContaining('ferrule verify'),
    });
  const given = await rig.give(job, 'note-00002', 2, { command: 'note', text: 'More.' });
  expect(given.json).toMatchObject({ code: 'unreadable-job' });
  expect((await rig.get(`/jobs/${job}/verification`)).json).toMatchObject({ isSound: false });
  // The copy from before is put back, and it goes on.
  writeFileSync(fileOf(rig, job), whole);
  expect((await rig.give(job, 'note-00002', 2, { command: 'note', text: 'More.' })).status).toBe(200);
});

test('a screen that looks at a job is told when its record is changed in place', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  const answer = await fetch(`${await rig.listen()}/jobs/${job}/stream`);
  await change(fileOf(rig, job), 'technician A', 'technician Z');
  const text = await answer.text();
  expect(text).toContain('event: fact\n');
  expect(text).toMatch(/event: problem\ndata: .*"code":"unreadable-job"/);
});

test('a record that is changed while it is handed on is unreadable, and not unknown', async () => {
  const { store, folder } = new Rig();
  // A file system that keeps no times finely enough to tell.
  const rig = new Rig({ store: { ...store, stamp: () => 'the same' } }, folder);
  const job = await rig.begin();
  expect((await rig.get(`/jobs/${job}`)).status).toBe(200);
  await change(fileOf(rig, job), 'technician A', 'technician Z');
  expect((await rig.get(`/jobs/${job}/record`)).json).toMatchObject({
    ...{ code: 'unreadable-job', operands: { job, line: 2 } },
  });
});

test.each([
  ['empty', 0, 1],
  ['cut off in its first line', 30, 1],
] as const)('a job file that is %s is named as a fault', async (_name, bytes, line) => {
  const rig = new Rig();
  const job = await rig.begin();
  truncateSync(fileOf(rig, job), bytes);
  for (const one of [rig, new Rig({}, rig.folder)]) {
    expect((await one.get('/jobs')).json).toMatchObject({ jobs: [], faults: [{ job, line }] });
    for (const address of ['', '/facts', '/record', '/card'])
      expect((await one.get(`/jobs/${job}${address}`)).json, address).toMatchObject({
        code: 'unreadable-job',
        operands: { job, line },
      });
    expect((await one.get(`/jobs/${job}/verification`)).json).toMatchObject({
      isSound: false,
      findings: [{ code: 'unreadable', line }],
    });
    // The same beginning again: the job was begun, and what is left of it is not written over.
    expect((await one.post('/jobs', { ...beginning, id: 'begin-0001' })).json).toMatchObject({
      code: 'unreadable-job',
    });
  }
  expect(statSync(fileOf(rig, job)).size).toBe(bytes);
});

test('a job file of which the first line alone is left is named as a fault', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  truncateSync(fileOf(rig, job), readFileSync(fileOf(rig, job)).indexOf(0x0a) + 1);
  expect((await rig.get('/jobs')).json).toMatchObject({ jobs: [], faults: [{ job, line: 2 }] });
  expect((await rig.get(`/jobs/${job}`)).json).toMatchObject({ code: 'unreadable-job' });
});

test('a store whose folder is taken away is said to be gone, is not made anew, and goes on when it is back', async () => {
  const rig = new Rig({}, join(scratch(), 'jobs'));
  mkdirSync(rig.folder);
  const job = await rig.begin();
  await rig.get('/jobs');
  const { digest } = Object((await rig.get(`/jobs/${job}`)).json['pack']);
  const record = (await rig.get(`/jobs/${job}/record`)).text;
  const stream = await fetch(`${await rig.listen()}/jobs/${job}/stream`);
  const unknown = `sha256:${'0'.repeat(64)}`;
  const away = `${rig.folder}-away`;
  const picture = { 'content-type': 'image/png' };
  const json = { 'content-type': 'application/json' };
  const ask = async (expected: string): Promise<void> => {
    const answers = [
      ...[await rig.get('/jobs'), await rig.get('/jobs/no-such-job'), await rig.get(`/bundles/${unknown}`)],
      ...(await Promise.all(seen.map((one) => rig.get(`/jobs/${job}${one}`)))),
      await rig.get(`/jobs/${job}/verification`),
      await rig.get(`/photographs/${unknown}`),
      await rig.post('/jobs', { ...beginning, id: 'begin-0001' }),
      await rig.post('/jobs', { ...beginning, id: 'begin-0002' }),
      await rig.give(job, 'note-00001', 1, { command: 'note', text: 'x' }),
      await rig.call({
        ...{ method: 'POST', url: `/jobs/${job}/photographs`, payload: 'x', headers: picture },
      }),
      await rig.call({ method: 'POST', url: '/records', payload: record, headers: json }),
    ];
    for (const { json: said, status, text } of answers) {
      expect(said).toMatchObject({ code: expected, remedy: expect.stringContaining('Put it back') });
      expect(status).toBe(503);
      expect(text).not.toContain(rig.folder);
    }
  };
  renameSync(rig.folder, away);
  await ask('store-gone');
  expect(existsSync(rig.folder)).toBe(false);
  // What needs no store is answered.
  expect((await rig.get('/packs/valve-clearance/1.0.0')).status).toBe(200);
  expect((await rig.get(`/bundles/${digest}`)).status).toBe(200);
  expect((await rig.get('/problems/store-gone')).status).toBe(200);
  expect(rig.notes).toEqual([expect.stringMatching(/^The folder .* of the store is gone\. Put it back/)]);
  // An empty folder in its place, as where a disk was unmounted.
  mkdirSync(rig.folder);
  await ask('store-gone');
  expect(readdirSync(rig.folder)).toEqual([]);
  rmSync(rig.folder, { recursive: true });
  // The stream waits, for longer than it takes to look.
  await new Promise((done) => setTimeout(done, 700));
  renameSync(away, rig.folder);
  expect((await rig.get('/jobs')).json).toMatchObject({ jobs: [{ job }], faults: [] });
  expect((await rig.post('/jobs', { ...beginning, id: 'begin-0001' })).json).toMatchObject({ job, seq: 1 });
  const closed = { command: 'abandon', reason: 'Enough.' };
  expect((await rig.give(job, 'abandon-01', 1, closed)).status).toBe(200);
  const events = await stream.text();
  expect(events.match(/^event: \w+$/gm)).toEqual([
    ...['event: job', 'event: fact', 'event: fact', 'event: closed'],
  ]);
  expect(rig.defects).toEqual([]);
});
