import { createHash } from 'node:crypto';
import {
  appendFileSync,
  copyFileSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Fact } from '@ferrule/engine';
import {
  type Appended,
  type Created,
  folderStore,
  isJobId,
  jobPath,
  listJobs,
  makeStore,
  readJob,
  storeFault,
} from '@ferrule/records';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';

let store = '';
beforeEach(() => {
  store = mkdtempSync(join(tmpdir(), 'ferrule-jobs-'));
});
afterEach(() => rmSync(store, { recursive: true, force: true }));

const sha256 = (text: string): `sha256:${string}` =>
  `sha256:${createHash('sha256').update(text, 'utf8').digest('hex')}`;

const bundle = '{"document":{},"format":"ferrule-bundle-1"}';
const header = {
  job: 'pilot-boat-2',
  pack: { id: 'pumps', revision: '1.0.0', path: '../specs/pumps', digest: sha256(bundle) },
  procedure: 'set',
  variant: 'four',
};

const note = (seq: number, text = `note ${seq}`): Fact => ({
  format: '1',
  seq,
  id: `x.${seq}`,
  at: '2026-03-02T08:00:00+01:00',
  by: 'technician A',
  fact: { kind: 'noted', text },
});

interface Begun {
  readonly path: string;
  append(facts: readonly Fact[], expectedSeq: number): Appended;
}

const create = (folder: string, job = header.job): Created =>
  folderStore(folder).create({ ...header, job }, bundle, [note(1)]);

/** A job whose facts were added one by one. */
function begun(facts: number): Begun {
  const jobs = folderStore(store);
  expect(jobs.create(header, bundle, [note(1)])).toEqual({ created: 1 });
  const append: Begun['append'] = (batch, expectedSeq) => jobs.append(header.job, batch, expectedSeq);
  for (let seq = 2; seq <= facts; seq++) expect(append([note(seq)], seq - 1)).toEqual({ appended: seq });
  return { path: jobPath(store, header.job), append };
}

const waitForTick = (): void => {
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 50);
};

const linesOf = (path: string): string[] => readFileSync(path, 'utf8').split('\n').slice(0, -1);

describe('a job file', () => {
  it('keeps what was added, batch by batch, and says which pack it is pinned to', () => {
    const file = begun(1);
    expect(file.append([note(2), note(3, 'zwölf µm')], 1)).toEqual({ appended: 3 });
    expect(linesOf(file.path)).toHaveLength(3);
    const read = readJob(file.path);
    expect(read).toMatchObject({ header, facts: [note(1), note(2), note(3, 'zwölf µm')] });
    expect(read).not.toHaveProperty('torn');
  });

  it('carries in each fact the SHA-256 of the one before as canonical JSON (RFC 8785), computed here anew', () => {
    const file = begun(2);
    const [first = '', second = '', third = ''] = linesOf(file.path);
    const one: unknown = JSON.parse(second).facts[0];
    expect(one).toMatchObject({ before: sha256(first) });
    // Members of a note in the order of their code units.
    const written = `{"at":"2026-03-02T08:00:00+01:00","before":"${sha256(first)}","by":"technician A","fact":{"kind":"noted","text":"note 1"},"format":"1","id":"x.1","seq":1}`;
    expect(JSON.parse(third).facts[0].before).toBe(sha256(written));
    expect(JSON.parse(second).last).toBe(sha256(written));
  });

  it('refuses an append against another sequence number, also when another process has gone on', () => {
    const file = begun(2);
    expect(file.append([note(2)], 1)).toMatchObject({ refused: 'stale-sequence' });
    expect(folderStore(store).append(header.job, [note(3)], 2)).toEqual({ appended: 3 });
    expect(file.append([note(3, 'mine')], 2)).toMatchObject({
      refused: 'stale-sequence',
      message: expect.stringContaining('moved on to fact 3'),
    });
    expect(file.append([note(4)], 3)).toEqual({ appended: 4 });
    expect(readJob(file.path)).toMatchObject({ facts: [note(1), note(2), note(3), note(4)] });
  });

  it('throws on facts that do not count on', () => {
    const file = begun(1);
    expect(() => file.append([note(3)], 1)).toThrow(RangeError);
    expect(() => file.append([], 1)).toThrow(RangeError);
    expect(linesOf(file.path)).toHaveLength(2);
  });

  it('does not begin a job over another', () => {
    begun(1);
    expect(create(store)).toMatchObject({
      refused: 'job-exists',
      message: expect.stringContaining('already'),
    });
    expect(listJobs(store)).toEqual(['pilot-boat-2']);
    writeFileSync(join(store, 'notes.jsonl'), 'By hand');
    expect(create(store, 'notes')).toMatchObject({ refused: 'job-exists' });
    expect(readFileSync(join(store, 'notes.jsonl'), 'utf8')).toBe('By hand');
  });

  it.each(['', '{"form', '{"format":"ferrule-job-1","job":"pilot-b'])(
    'of which less than the first line is left (%j) is one all the same, and is not written over',
    (left) => {
      writeFileSync(jobPath(store, 'pilot-boat-2'), left);
      expect(listJobs(store)).toEqual(['pilot-boat-2']);
      expect(create(store)).toMatchObject({ refused: 'job-exists' });
      expect(readFileSync(jobPath(store, 'pilot-boat-2'), 'utf8')).toBe(left);
      expect(folderStore(store).append(header.job, [note(1)], 0)).toMatchObject({ refused: 'not-written' });
    },
  );

  it('that was changed to the same length, with its time of change set back, is not gone on with', () => {
    const file = begun(2);
    const { atime, mtime } = statSync(file.path);
    // The clock of a file system has ticks of some milliseconds, and within one a change does not show.
    waitForTick();
    writeFileSync(file.path, readFileSync(file.path, 'utf8').replace('note 2', 'note Z'));
    utimesSync(file.path, atime, mtime);
    expect(file.append([note(3)], 2)).toMatchObject({
      refused: 'not-written',
      message: expect.stringContaining('fact 2 was changed'),
    });
  });

  it('that was put in the place of another of the same length is noticed', () => {
    const file = begun(2);
    const other = `${file.path}.copy`;
    const { atime, mtime } = statSync(file.path);
    writeFileSync(other, readFileSync(file.path, 'utf8').replace('note 2', 'note Z'));
    utimesSync(other, atime, mtime);
    renameSync(other, file.path);
    expect(file.append([note(3)], 2)).toMatchObject({ refused: 'not-written' });
  });

  it('is not gone on with under another name than its own', () => {
    const file = begun(2);
    const copy = jobPath(store, 'pilot-boat-3');
    copyFileSync(file.path, copy);
    appendFileSync(copy, '{"facts"');
    const jobs = folderStore(store);
    expect(jobs.read('pilot-boat-3')).toMatchObject({
      fault: { line: 1, message: expect.stringContaining('this is the job pilot-boat-2') },
    });
    expect(jobs.append('pilot-boat-3', [note(3)], 2)).toMatchObject({ refused: 'not-written' });
    expect(readFileSync(copy, 'utf8')).toMatch(/\{"facts"$/);
    expect(jobs.read('pilot-boat-2')).toHaveProperty('facts');
  });

  it('is named by ids that lead nowhere', () => {
    expect(['a', 'job-2026-03'].every(isJobId)).toBe(true);
    expect(['', '..', '../x', 'a/b', 'A', 'a.b', '-a', 'a'.repeat(81)].some(isJobId)).toBe(false);
    expect(() => jobPath(store, '../x')).toThrow(RangeError);
  });
});

describe('a store', () => {
  it('is made with the folders around it', () => {
    const deep = join(store, 'a', 'b');
    expect(storeFault(deep)).toBeUndefined();
    expect(existsSync(deep)).toBe(false);
    expect(makeStore(deep)).toBeUndefined();
    expect(create(deep)).toEqual({ created: 1 });
  });

  it('is no file, and nothing below one', () => {
    const file = join(store, 'jobs');
    writeFileSync(file, '');
    for (const says of [storeFault(file), makeStore(file)])
      expect(says).toMatch(/jobs is no folder\. Jobs are kept/);
    expect(makeStore(join(file, 'x'))).toMatch(
      /^No job can be kept in .* \(ENOTDIR\)\. A file stands where its folder would have to be\./,
    );
    expect(create(join(file, 'x'))).toMatchObject({ refused: 'not-written' });
  });

  it('that was taken away is not made anew by anything that is asked of it, and goes on when it is back', () => {
    const jobs = folderStore(store);
    begun(1);
    expect(jobs.gone()).toBeUndefined();
    const exported = jobs.exportJob(header.job);
    expect(exported.refused).toBeUndefined();
    const away = `${store}-away`;
    renameSync(store, away);
    try {
      const says = expect.stringMatching(/^The folder .* of the store is gone\. Put it back/);
      const refused = { refused: 'not-written', message: says };
      expect(jobs.gone()).toEqual(says);
      expect(jobs.create({ ...header, job: 'b' }, bundle, [note(1)])).toEqual(refused);
      expect(jobs.putPhotograph(Uint8Array.of(1))).toEqual(refused);
      expect(jobs.importJob(exported.refused === undefined ? exported.text : '')).toEqual(refused);
      expect(jobs.append(header.job, [note(2)], 1)).toMatchObject({ refused: 'not-written' });
      expect(jobs.list()).toEqual({ jobs: [], faults: [] });
      expect(existsSync(store)).toBe(false);
      // An empty folder in its place, as where a disk was unmounted.
      mkdirSync(store);
      expect(jobs.gone()).toMatch(/^Another folder without jobs stands where the store .* was\. Put it back/);
      expect(jobs.create({ ...header, job: 'b' }, bundle, [note(1)])).toMatchObject({
        refused: 'not-written',
      });
      expect(readdirSync(store)).toEqual([]);
      // A copy of it will do.
      cpSync(away, store, { recursive: true });
      expect(jobs.append(header.job, [note(2)], 1)).toEqual({ appended: 2 });
      rmSync(store, { recursive: true });
    } finally {
      renameSync(away, store);
    }
    expect(jobs.gone()).toBeUndefined();
    expect(jobs.read(header.job).facts).toHaveLength(1);
    expect(jobs.append(header.job, [note(2)], 1)).toEqual({ appended: 2 });
  });

  it('without a job may be put elsewhere', () => {
    const jobs = folderStore(store);
    expect(jobs.gone()).toBeUndefined();
    rmSync(store, { recursive: true });
    mkdirSync(store);
    expect(create(store)).toEqual({ created: 1 });
  });

  it('cannot lie where folders cannot be made, and this is said at once', () => {
    if (!existsSync('/proc/self')) return;
    expect(makeStore('/proc/x/y')).toMatch(
      /^No job can be kept in \/proc\/x\/y \(ENOENT\)\. No folder can be made there\. Name another place\.$/,
    );
    expect(create('/proc/x/y')).toMatchObject({ refused: 'not-written' });
  });
});

describe('a torn last line', () => {
  it.each([1, 40, 200])('of %i bytes is set aside, and the job goes on', (bytes) => {
    const file = begun(2);
    const third = linesOf(file.path)[1] ?? '';
    const whole = readFileSync(file.path, 'utf8');
    appendFileSync(file.path, third.slice(0, bytes));
    expect(readJob(file.path)).toMatchObject({ facts: [note(1), note(2)], torn: { line: 4 } });
    expect(file.append([note(2)], 1)).toMatchObject({ refused: 'stale-sequence' });
    expect(readFileSync(file.path, 'utf8')).not.toBe(whole);
    expect(file.append([note(3)], 2)).toEqual({
      appended: 3,
      setAside: expect.stringMatching(/^Line 4 was cut off after \d+ bytes .*\.torn\.$/),
    });
    expect(readFileSync(`${file.path}.torn`, 'utf8')).toBe(third.slice(0, bytes));
    expect(readFileSync(file.path, 'utf8').startsWith(whole)).toBe(true);
    expect(readJob(file.path)).toMatchObject({ facts: [note(1), note(2), note(3)] });
    expect(readJob(file.path)).not.toHaveProperty('torn');
  });

  it('is torn even when only its end is missing: it was never confirmed', () => {
    const file = begun(2);
    writeFileSync(file.path, readFileSync(file.path, 'utf8').slice(0, -1));
    expect(readJob(file.path)).toMatchObject({ facts: [note(1)], torn: { line: 3 } });
  });
});

describe('a job file that cannot be relied on', () => {
  const cases: readonly (readonly [string, (lines: string[]) => string[], number, RegExp])[] = [
    ['a changed fact', (l) => l.map((x) => x.replace('note 2', 'note Z')), 3, /fact 2 was changed/],
    ['a changed last fact', (l) => l.map((x) => x.replace('note 3', 'note Z')), 4, /fact 3 was changed/],
    ['a removed line', (l) => l.toSpliced(2, 1), 3, /fact 2 is expected, and 3/],
    ['a line twice', (l) => [...l, l[3] ?? ''], 5, /fact 4 is expected, and 3/],
    [
      'two lines changed about',
      (l) => [l[0] ?? '', l[2] ?? '', l[1] ?? '', l[3] ?? ''],
      2,
      /fact 1 is expected/,
    ],
    ['a changed header', (l) => l.map((x) => x.replace('"four"', '"five"')), 2, /does not follow/],
    ['spaces', (l) => l.map((x, i) => (i === 2 ? ` ${x}` : x)), 3, /canonical/],
    ['no JSON', (l) => l.map((x, i) => (i === 2 ? 'hello' : x)), 3, /not JSON/],
    ['an empty line', (l) => [...l, ''], 5, /not JSON/],
    [
      'another format',
      (l) => l.map((x) => x.replace('ferrule-job-1', 'ferrule-job-9')),
      1,
      /"ferrule-job-9"/,
    ],
    ['no header', (l) => l.slice(1), 1, /format is not said/],
  ];
  it.each(cases)('%s', (_, change, line, message) => {
    const file = begun(3);
    writeFileSync(
      file.path,
      change(linesOf(file.path))
        .map((one) => `${one}\n`)
        .join(''),
    );
    const read = readJob(file.path);
    expect(read).toMatchObject({ fault: { line, message: expect.stringMatching(message) } });
    expect(folderStore(store).append(header.job, [note(9)], 8)).toMatchObject({ refused: 'not-written' });
  });

  it('is not there, is empty, is no text', () => {
    expect(readJob(join(store, 'none.jsonl'))).toMatchObject({
      fault: { line: 0, message: expect.stringMatching(/ENOENT/) },
    });
    writeFileSync(join(store, 'a.jsonl'), '');
    expect(readJob(join(store, 'a.jsonl'))).toMatchObject({ fault: { line: 1 } });
    writeFileSync(join(store, 'b.jsonl'), Uint8Array.of(0xff, 0x0a));
    expect(readJob(join(store, 'b.jsonl'))).toMatchObject({
      fault: { line: 0, message: expect.stringMatching(/UTF-8/) },
    });
  });
});
