import { join } from 'node:path';
import { folderStore } from '@ferrule/records';
import { expect, test } from 'vitest';
import { beginning } from '../../packages/server/test/beginning.ts';
import { converse } from '../cli/ferrule.ts';
import { scratch } from '../cli/scratch.ts';
import { get, post, served } from './served.ts';

test('the terminal and the server work on one job: each is told what the other has added, and nothing is lost', async () => {
  const jobs = join(scratch(), 'jobs');
  const { url, child, ended } = await served(jobs);
  const begun = await post(`${url}/jobs`, { ...beginning, id: 'begin-0001' });
  const job = String(begun.json['job']);
  const note = (id: string, expectedSeq: number, text: string) =>
    post(`${url}/jobs/${job}/commands`, {
      ...{ id, expectedSeq, by: 'technician A' },
      command: { command: 'note', text },
    });
  // The server adds something while the terminal stands at its first question.
  let asked = 0;
  const { stdout, exitCode } = await converse(['run', '--jobs', jobs, '--job', job], async () => {
    asked += 1;
    if (asked === 1) expect(await note('note-00001', 1, 'From the office.')).toMatchObject({ status: 200 });
    return asked === 3 ? 'quit' : 'understood';
  });
  const screen = stdout.replace(/\s+/g, ' ');
  expect(screen).toContain(
    'Not taken: Another terminal or server has gone on with this job, and added fact 2:',
  );
  expect(screen).toContain('Note: From the office.');
  expect(screen).toContain('[3] Hazards understood');
  expect(exitCode).toBe(0);
  // What the terminal has added is known to the server, and whoever had not seen it is told.
  const late = await note('note-00002', 2, 'Made without knowing it.');
  expect(late).toMatchObject({
    status: 409,
    json: { code: 'stale-sequence', operands: { expectedSeq: 2, seq: 3 } },
  });
  expect((await get(`${url}/jobs/${job}`)).json).toMatchObject({ seq: 3 });
  expect(await note('note-00002', 3, 'Made with it.')).toMatchObject({ status: 200, json: { seq: 4 } });
  child.kill('SIGTERM');
  expect((await ended).how).toBe(0);
  const read = folderStore(jobs).read(job);
  expect(read.facts?.map(({ fact }) => fact.kind)).toEqual(['started', 'noted', 'acknowledged', 'noted']);
  expect(folderStore(jobs).verify(job)).toMatchObject({ isSound: true });
});

test('both write as fast as they can: every fact that either was confirmed is there once', async () => {
  const jobs = join(scratch(), 'jobs');
  const { url, child } = await served(jobs);
  const begun = await post(`${url}/jobs`, { ...beginning, id: 'begin-0001' });
  const job = String(begun.json['job']);
  const fromServer: string[] = [];
  let isOver = false;
  const writing = (async () => {
    let seq = 1;
    for (let turn = 0; !isOver; turn++) {
      const text = `office ${turn}`;
      const { status, json } = await post(`${url}/jobs/${job}/commands`, {
        ...{ id: `note-office-${turn}`, expectedSeq: seq, by: 'technician A' },
        command: { command: 'note', text },
      });
      expect([200, 409]).toContain(status);
      if (status === 200) fromServer.push(text);
      seq = status === 200 ? Number(json['seq']) : Number(Object(json['operands']).seq);
    }
  })();
  // What was typed and not taken is typed once more, as the terminal asks for, until they have met often enough.
  let [turn, met] = [0, 0];
  const ran = await converse(['run', '--jobs', jobs, '--job', job], (screen) => {
    if (screen.includes('Not taken')) met += 1;
    else turn += 1;
    const isEnough = turn > 30 && met > 0 && fromServer.length > 10;
    return isEnough || turn > 500 ? 'quit' : `note bench ${turn}`;
  });
  isOver = true;
  await writing;
  child.kill('SIGKILL');
  const fromBench = [...ran.stdout.matchAll(/\[\d+\] Note: (bench \d+)/g)].map(([, text]) => text);
  expect(fromBench).toEqual(Array.from({ length: turn - 1 }, (_, place) => `bench ${place + 1}`));
  expect(fromBench.length).toBeGreaterThanOrEqual(30);
  expect(fromServer.length).toBeGreaterThan(10);
  // They did get in each other's way.
  expect(ran.stdout).toContain('Not taken: Another terminal or server');
  const read = folderStore(jobs).read(job);
  const noted = read.facts?.flatMap(({ fact }) => (fact.kind === 'noted' ? [fact.text] : [])) ?? [];
  expect(noted.filter((text) => text.startsWith('office'))).toEqual(fromServer);
  expect(noted.filter((text) => text.startsWith('bench'))).toEqual(fromBench);
});
