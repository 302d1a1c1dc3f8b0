import { type ChildProcess, fork } from 'node:child_process';
import { createHash } from 'node:crypto';
import { once } from 'node:events';
import {
  appendFileSync,
  existsSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Fact } from '@ferrule/engine';
import { type Appended, folderStore, jobPath, readJob } from '@ferrule/records';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { builtProgram } from './built-program.ts';

/** What each process runs: on every message it opens the job and adds a note, or it takes the lock and never lets go. */
const program = `
import { writeSync } from 'node:fs';
import { dirname } from 'node:path';
import { folderStore } from './index.ts';
import { whileLocked } from './file-lock.ts';
const [path, who] = process.argv.slice(2);
if (who === 'holder')
  whileLocked(path, () => {
    writeSync(1, 'locked');
    Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0);
  });
const begin = (job, header, bundle) => folderStore(dirname(path)).create({ ...header, job }, bundle, [{ format: '1', seq: 1, id: 'x.1', at: '2026-03-02T08:00:00+01:00', by: who, fact: { kind: 'started', pack: 'pumps', revision: '1.0.0', bundle: header.pack.digest, procedure: 'set', variant: 'four', persons: [], instruments: [] } }]);
process.on('message', (header) => {
  if (who === 'maker') {
    for (let turn = 0; turn < 100; turn++) begin('job-' + turn, header, '{}');
    return process.send('made');
  }
  for (let tries = 0; tries < 50; tries++) {
    const store = folderStore(dirname(path));
    const read = store.read('pilot-boat-2');
    if (read.facts === undefined) return process.send({ fault: read.fault.message });
    const seq = read.facts.length;
    const id = who + '.' + (seq + 1);
    const done = store.append('pilot-boat-2', [{ format: '1', seq: seq + 1, id, at: '2026-03-02T08:00:00+01:00', by: who, fact: { kind: 'noted', text: id } }], seq);
    if (done.refused === undefined) return process.send({ id });
  }
  process.send({ fault: 'no turn in 50 tries' });
});
process.send('ready');
`;

/** Elsewhere a lock that was left behind is known by its age alone. */
const tellsProcesses = existsSync('/proc/self/ns/pid');

const bundle = '{}';
const header = {
  job: 'pilot-boat-2',
  pack: {
    id: 'pumps',
    revision: '1.0.0',
    path: '../specs/pumps',
    digest: `sha256:${createHash('sha256').update(bundle).digest('hex')}`,
  },
  procedure: 'set',
  variant: 'four',
};

const note = (seq: number): Fact => ({
  format: '1',
  seq,
  id: `x.${seq}`,
  at: '2026-03-02T08:00:00+01:00',
  by: 'technician A',
  fact: { kind: 'noted', text: `note ${seq}` },
});

let built = '';
let store = '';
const running: ChildProcess[] = [];
beforeAll(() => {
  built = builtProgram(program);
});
afterAll(() => rmSync(join(built, '..'), { recursive: true, force: true }));
beforeEach(() => {
  store = mkdtempSync(join(tmpdir(), 'ferrule-jobs-'));
});
afterEach(() => {
  for (const child of running.splice(0)) child.kill('SIGKILL');
  rmSync(store, { recursive: true, force: true });
});

interface Begun {
  readonly path: string;
  append(facts: readonly Fact[], expectedSeq: number): Appended;
}

function begun(): Begun {
  const jobs = folderStore(store);
  expect(jobs.create(header, bundle, [note(1)])).toEqual({ created: 1 });
  return {
    path: jobPath(store, header.job),
    append: (facts, expectedSeq) => jobs.append(header.job, facts, expectedSeq),
  };
}

async function started(path: string, who: string): Promise<ChildProcess> {
  const child = fork(built, [path, who], { silent: true, execArgv: [] });
  running.push(child);
  if (who === 'holder' && child.stdout !== null) await once(child.stdout, 'data');
  else await once(child, 'message');
  return child;
}

describe('several processes on one job', () => {
  it('lose nothing that was confirmed, however often a line is torn', async () => {
    const { path } = begun();
    const children = await Promise.all(['a', 'b', 'c', 'd'].map((who) => started(path, who)));
    const confirmed: string[] = [];
    for (let round = 0; round < 20; round++) {
      appendFileSync(path, '{"facts":[{"at":"torn');
      const answers = children.map((child) => once(child, 'message'));
      for (const child of children) child.send('go');
      for (const [answer] of await Promise.all(answers)) {
        expect(answer).not.toHaveProperty('fault');
        confirmed.push(answer.id);
      }
      const read = readJob(path);
      if (read.fault !== undefined) throw new Error(read.fault.message);
      expect(read.facts.slice(1).map((one) => one.id)).toEqual(expect.arrayContaining(confirmed));
      expect(read.facts).toHaveLength(1 + confirmed.length);
    }
    expect(confirmed).toHaveLength(80);
    expect(readFileSync(`${path}.torn`, 'utf8')).toBe('{"facts":[{"at":"torn'.repeat(20));
  });

  it.runIf(tellsProcesses)(
    'take over the lock of one that was killed at once, and never that of one that lives',
    async () => {
      const file = begun();
      const lock = `${file.path}.lock`;
      const holder = await started(file.path, 'holder');
      const longAgo = new Date(Date.now() - 60_000);
      utimesSync(lock, longAgo, longAgo);
      expect(file.append([note(2)], 1)).toMatchObject({ refused: 'not-written' });
      expect(readJob(file.path)).toMatchObject({ facts: [note(1)] });
      holder.kill('SIGKILL');
      await once(holder, 'exit');
      const ahead = new Date(Date.now() + 3_600_000);
      utimesSync(lock, ahead, ahead);
      const before = performance.now();
      expect(file.append([note(2)], 1)).toEqual({ appended: 2 });
      expect(performance.now() - before).toBeLessThan(500);
      expect(existsSync(lock)).toBe(false);
    },
  );

  it.runIf(tellsProcesses)('take over together what a killed one left, and lose nothing', async () => {
    const { path } = begun();
    const children = await Promise.all(['a', 'b', 'c', 'd'].map((who) => started(path, who)));
    const holder = await started(path, 'holder');
    holder.kill('SIGKILL');
    await once(holder, 'exit');
    const left = readFileSync(`${path}.lock`);
    for (let round = 1; round <= 10; round++) {
      writeFileSync(`${path}.lock`, left);
      const answers = children.map((child) => once(child, 'message'));
      for (const child of children) child.send('go');
      for (const [answer] of await Promise.all(answers)) expect(answer).not.toHaveProperty('fault');
      const read = readJob(path);
      expect(read.fault === undefined && read.facts.length).toBe(1 + 4 * round);
    }
  });
});

it.runIf(tellsProcesses)('a lock whose number was given to another process is taken over', async () => {
  const file = begun();
  const lock = `${file.path}.lock`;
  const holder = await started(file.path, 'holder');
  // Started a tick later than the holder of the same number: proc_pid_stat(5), field 22.
  const later = readFileSync(lock, 'utf8').replace(
    /(\d+)( \w+)$/,
    (_, start, rest) => `${Number(start) + 1}${rest}`,
  );
  writeFileSync(lock, later);
  expect(file.append([note(2)], 1)).toEqual({ appended: 2 });
  expect(holder.exitCode).toBeNull();
});

it('a job that another process is just beginning is never called faulty', async () => {
  const maker = await started(jobPath(store, header.job), 'maker');
  const jobs = folderStore(store);
  const done = once(maker, 'message');
  let isMaking = true;
  void done.then(() => {
    isMaking = false;
  });
  maker.send(header);
  let lists = 0;
  while (isMaking) {
    expect(jobs.list().faults).toEqual([]);
    lists += 1;
    await new Promise((next) => setImmediate(next));
  }
  expect(lists).toBeGreaterThan(20);
  expect(jobs.list().jobs).toHaveLength(100);
});

describe('a lock of which nothing is known', () => {
  const minute = 60_000;

  it.each([
    ['empty and new', '', 0, false],
    ['empty and old', '', -minute, true],
    ['empty and far ahead of the clock', '', minute, true],
    ['of another computer and old', 'another-computer pid:[4026531836] 1 1 ab', -minute, true],
    ['with words of something else', 'locked by hand', -minute, true],
  ] as const)('%s', (_, content, age, isPassed) => {
    const file = begun();
    const lock = `${file.path}.lock`;
    writeFileSync(lock, content);
    const time = new Date(Date.now() + age);
    utimesSync(lock, time, time);
    const done = file.append([note(2)], 1);
    expect(done).toMatchObject(isPassed ? { appended: 2 } : { refused: 'not-written' });
    expect(existsSync(lock)).toBe(!isPassed);
    expect(readJob(file.path)).toHaveProperty('facts');
  });
});
