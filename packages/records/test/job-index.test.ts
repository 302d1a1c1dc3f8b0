import { execFileSync } from 'node:child_process';
import {
  appendFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import type { FactBody } from '@ferrule/engine';
import { folderStore, type JobQuery, jobPath, listJobs } from '@ferrule/records';
import { beforeEach, describe, expect, it } from 'vitest';
import { bundle, facts, header, note, scratch, started } from './a-job.ts';

let folder = '';
beforeEach(() => {
  folder = scratch();
});
const indexFile = (): string => join(folder, 'index', 'jobs.json');

function keep(job: string, ...bodies: readonly FactBody[]): void {
  const made = folderStore(folder).create({ ...header, job }, bundle, facts(started, ...bodies));
  expect(made).toEqual({ created: bodies.length + 1 });
}

/** What a store that was opened anew lists. */
const names = (query: JobQuery = {}): readonly string[] =>
  folderStore(folder)
    .list(query)
    .jobs.map((one) => one.job);

const identified: FactBody = {
  kind: 'identified',
  step: 's',
  entry: 'pump@1',
  identity: 'MP-4101',
  part: 'renewed',
};
const held: FactBody = { kind: 'held', hold: 'gap-out', step: 'gap', text: 'The gap is out.' };
const conceded: FactBody = {
  kind: 'released',
  hold: 'gap-out',
  step: 'gap',
  by: 'concession',
  release: 0,
  reason: 'Agreed.',
};

describe('a list of jobs', () => {
  it('says of each what was done, by whom and with what', () => {
    keep(
      'a',
      { kind: 'filled', step: 'f', entry: 'engine-serial', text: 'ME-000123' },
      { kind: 'joined', role: 'witness', person: 'technician B' },
      { kind: 'equipped', instrument: { kind: 'wrench', identity: 'TW-1' } },
      { kind: 'done', step: 'clamp', instrument: { kind: 'wrench', identity: 'TW-1' } },
      { kind: 'filled', step: 'lot', entry: 'seal-lot@2', text: 'SL-0012' },
      { kind: 'filled', step: 'slot', entry: 'slot', text: 'not a lot' },
      identified,
      { kind: 'judged', step: 'gap', of: 'gap-limits', verdict: { verdict: 'nonconforming' } },
      held,
      conceded,
      { kind: 'closed', finished: true },
    );
    const [one] = folderStore(folder).list().jobs;
    const last: unknown = JSON.parse(readFileSync(jobPath(folder, 'a'), 'utf8').split('\n')[1] ?? '').last;
    expect(one).toEqual({
      job: 'a',
      pack: { id: 'pumps', revision: '1.0.0', digest: header.pack.digest },
      procedure: 'set',
      variant: 'four',
      engine: 'ME-000123',
      started: '2026-03-02T08:00:01+01:00',
      last: '2026-03-02T08:00:12+01:00',
      facts: 12,
      lastDigest: last,
      state: 'closed',
      persons: ['technician A', 'lead C', 'technician B'],
      roles: [
        { role: 'technician', person: 'technician A' },
        { role: 'lead', person: 'lead C' },
        { role: 'witness', person: 'technician B' },
      ],
      instruments: ['GG-1', 'TW-1'],
      uses: [{ instrument: 'TW-1', day: '2026-03-02' }],
      parts: ['MP-4101'],
      lots: ['SL-0012'],
      holds: ['gap-out'],
      concessions: 1,
      granted: [{ of: 'gap-out', by: 'technician A' }],
      nonconforming: 1,
      signed: false,
    });
    // The same from the index.
    expect(folderStore(folder).list().jobs).toEqual([one]);
  });

  it('gives those to which all that is asked for applies', () => {
    keep('a', identified, held);
    keep('b', held, conceded, { kind: 'parked', reason: 'Night.' });
    keep('c', { kind: 'joined', role: 'lead', person: 'lead D' });
    keep('d', { kind: 'closed', finished: false, reason: 'No parts.' });
    keep('e', held, { kind: 'struck', target: 1, entry: 'gap', step: 'gap', reason: 'Misread.' });
    const cases: readonly (readonly [JobQuery, readonly string[]])[] = [
      [{}, ['a', 'b', 'c', 'd', 'e']],
      [{ state: 'held' }, ['a']],
      [{ state: 'parked' }, ['b']],
      [{ state: 'open' }, ['c', 'e']],
      [{ state: 'abandoned' }, ['d']],
      [{ state: 'closed' }, []],
      [{ hold: 'gap-out' }, ['a', 'b', 'e']],
      [{ hold: 'gap-out', state: 'parked' }, ['b']],
      [{ part: 'MP-4101' }, ['a']],
      [{ part: 'MP-41' }, []],
      [{ person: 'lead D' }, ['c']],
      [{ instrument: 'GG-1', after: 'c' }, ['d', 'e']],
      [{ pack: 'pumps', revision: '1.0.1' }, []],
      [{ engine: 'ME-1' }, []],
    ];
    for (const [query, wanted] of cases) expect(names(query), JSON.stringify(query)).toEqual(wanted);
    expect(folderStore(folder).list({ limit: 2, after: 'a' })).toMatchObject({
      jobs: [{ job: 'b' }, { job: 'c' }],
      more: true,
    });
    expect(folderStore(folder).list({ limit: 5 })).not.toHaveProperty('more');
  });

  it('finds them by lot, role, concession, digest and day', () => {
    const reading: FactBody = {
      ...{ kind: 'reading', step: 'gap', entry: 'gap', typed: '0.25', digits: '0.25', unit: 'mm' },
      instrument: { kind: 'gauge', identity: 'GG-1' },
    };
    const allowed: FactBody = {
      kind: 'allowed',
      instrument: 'GG-1',
      because: 'instrument-overdue',
      reason: 'Agreed.',
    };
    keep('a', reading, { kind: 'filled', step: 'lot', entry: 'seal-lot', text: 'SL-1' });
    keep('b', held, conceded, { kind: 'joined', role: 'witness', person: 'technician A' });
    keep('c', allowed, { kind: 'filled', step: 'lot', entry: 'lot', text: 'SL-2' });
    const digest = header.pack.digest;
    const cases: readonly (readonly [JobQuery, readonly string[]])[] = [
      [{ lot: 'SL-1' }, ['a']],
      [{ lot: 'SL-2' }, ['c']],
      [{ lot: 'SL' }, []],
      [{ role: 'witness' }, ['b']],
      [{ role: 'witness', person: 'technician A' }, ['b']],
      [{ role: 'witness', person: 'lead C' }, []],
      [{ role: 'lead', person: 'lead C' }, ['a', 'b', 'c']],
      [{ concession: 'gap-out' }, ['b']],
      [{ concession: 'GG-1' }, ['c']],
      [{ grantedBy: 'technician A' }, ['b', 'c']],
      [{ concession: 'gap-out', grantedBy: 'lead C' }, []],
      [{ digest }, ['a', 'b', 'c']],
      [{ digest: digest.replace(/.$/, 'x') }, []],
      [{ from: '2026-03-02', until: '2026-03-02' }, ['a', 'b', 'c']],
      [{ from: '2026-03-03' }, []],
      [{ until: '2026-03-01' }, []],
      // Named in each of them, and used in one.
      [{ instrument: 'GG-1' }, ['a', 'b', 'c']],
      [{ instrument: 'GG-1', from: '2026-03-01' }, ['a']],
      [{ instrument: 'GG-1', from: '2026-03-03' }, []],
    ];
    for (const [query, wanted] of cases) {
      expect(names(query), JSON.stringify(query)).toEqual(wanted);
      // The second time it comes from the index.
      expect(names(query), JSON.stringify(query)).toEqual(wanted);
    }
  });

  it('makes an index of an earlier version anew', () => {
    keep('a', { kind: 'filled', step: 'lot', entry: 'lot', text: 'SL-1' });
    names();
    const now = readFileSync(indexFile(), 'utf8');
    writeFileSync(
      indexFile(),
      now.replace('ferrule-job-index-3', 'ferrule-job-index-2').replace('SL-1', 'SL-9'),
    );
    expect(names({ lot: 'SL-1' })).toEqual(['a']);
    expect(readFileSync(indexFile(), 'utf8')).toBe(now);
  });

  it('follows what others add, take away and spoil, also in a process that has listed before', () => {
    keep('a');
    keep('b');
    const store = folderStore(folder);
    expect(store.list().jobs.map((one) => one.facts)).toEqual([1, 1]);
    folderStore(folder).append('a', [note(2)], 1);
    keep('c');
    rmSync(jobPath(folder, 'b'));
    for (const one of [store, folderStore(folder)])
      expect(one.list().jobs.map(({ job, facts: count }) => [job, count])).toEqual([
        ['a', 2],
        ['c', 1],
      ]);
    appendFileSync(jobPath(folder, 'c'), 'nothing\n');
    for (const one of [store, folderStore(folder), folderStore(folder)])
      expect(one.list()).toMatchObject({
        jobs: [{ job: 'a' }],
        faults: [{ job: 'c', fault: { line: 3, message: expect.stringContaining('not JSON') } }],
      });
  });

  it('names a file that is empty, cut off in its first line, or has lost every fact', () => {
    keep('a');
    keep('b');
    const whole = readFileSync(jobPath(folder, 'b'));
    const store = folderStore(folder);
    expect(store.list().faults).toEqual([]);
    const parcel = store.exportJob('b');
    const copy = parcel.refused === undefined ? parcel.text : '';
    for (const [cut, line] of [
      [0, 1],
      [5, 1],
      [whole.indexOf(0x0a), 1],
      [whole.indexOf(0x0a) + 1, 2],
      [whole.indexOf(0x0a) + 9, 2],
    ] as const) {
      writeFileSync(jobPath(folder, 'b'), whole.subarray(0, cut));
      for (const one of [store, folderStore(folder)])
        expect(one.list(), `${cut} bytes`).toMatchObject({
          jobs: [{ job: 'a' }],
          faults: [{ job: 'b', fault: { line, message: expect.stringContaining('Put back a copy') } }],
        });
      expect(listJobs(folder)).toEqual(['a', 'b']);
      expect(store.verify('b')).toMatchObject({ isSound: false, findings: [{ code: 'unreadable', line }] });
      // What is left is not written over; the record as it was handed on heals it.
      expect(store.create({ ...header, job: 'b' }, bundle, facts(started))).toMatchObject({
        refused: 'job-exists',
      });
      expect(readFileSync(jobPath(folder, 'b'))).toHaveLength(cut);
      expect(store.importJob(copy)).toMatchObject({ imported: 'b', was: 'continued' });
      expect(readFileSync(jobPath(folder, 'b'))).toEqual(whole);
    }
  });

  it('reads again a file that was changed without becoming longer', () => {
    keep('a');
    names();
    const path = jobPath(folder, 'a');
    const before = statSync(path);
    writeFileSync(path, readFileSync(path, 'utf8').replace('technician A', 'technician B'));
    utimesSync(path, before.atime, new Date(before.mtimeMs + 1000));
    expect(folderStore(folder).list()).toMatchObject({ jobs: [], faults: [{ job: 'a' }] });
  });

  it('reads only what has changed: the index is used', () => {
    keep('a');
    keep('b');
    names();
    const text = readFileSync(indexFile(), 'utf8');
    writeFileSync(indexFile(), text.replaceAll('technician A', 'technician Z'));
    folderStore(folder).append('b', [note(2)], 1);
    expect(names({ person: 'technician Z' })).toEqual(['a']);
  });

  it('does without an index where none can be written, and leaves one aside that is a pipe', () => {
    keep('a');
    writeFileSync(join(folder, 'index'), 'in the way');
    expect(names()).toEqual(['a']);
    rmSync(join(folder, 'index'));
    mkdirSync(indexFile(), { recursive: true });
    expect(names()).toEqual(['a']);
    rmSync(indexFile(), { recursive: true });
    if (process.platform === 'win32') return;
    execFileSync('mkfifo', [indexFile(), jobPath(folder, 'pipe')]);
    expect(folderStore(folder).list()).toMatchObject({
      jobs: [{ job: 'a' }],
      faults: [{ job: 'pipe', fault: { line: 0 } }],
    });
    expect(folderStore(folder).read('pipe')).toMatchObject({ fault: { line: 0 } });
    expect(folderStore(folder).list().jobs).toHaveLength(1);
    expect(statSync(indexFile()).isFile()).toBe(true);
  });
});

describe('an index that is broken or foreign', () => {
  const row = (): unknown[] => JSON.parse(readFileSync(indexFile(), 'utf8')).jobs[0];
  const spoilt: readonly (readonly [string, (text: string) => string])[] = [
    ['empty', () => ''],
    ['cut off', (text) => text.slice(0, -7)],
    ['no JSON', () => '\u0000\u0001'],
    ['null', () => 'null'],
    ['a list', () => '[]'],
    ['of another format', (text) => text.replace('index-1', 'index-9')],
    ['without heads', (text) => text.replace(/"heads":\[[^\]]*\]/, '"heads":[]')],
    ['with another kind of lists', (text) => text.replace(/"lists":\[\[/, '"lists":[7,[')],
    ['with a key that is reserved', (text) => text.replace('"jobs":', '"__proto__":[],"jobs":')],
    ['with a row that is a word', (text) => text.replace('"jobs":[', '"jobs":["a",')],
    ['with a row of another length', (text) => text.replace('"jobs":[', '"jobs":[["a",1],')],
    ['with a state that there is not', (text) => edited(text, 9, 77)],
    ['with numbers for texts', (text) => edited(text, 5, 7)],
    ['with a place beyond the lists', (text) => edited(text, 10, 99)],
    ['with a digest that is none', (text) => edited(text, 8, 'sha256:0')],
    ['with a name that leads elsewhere', (text) => edited(text, 0, '../../etc/x')],
    ['with sizes that no file has', (text) => edited(text, 1, 5)],
    ['with times that no file has', (text) => edited(text, 2, 5)],
  ];
  const edited = (text: string, place: number, value: unknown): string => {
    const index: { jobs: unknown[][] } = JSON.parse(text);
    for (const one of index.jobs) one[place] = value;
    return JSON.stringify(index);
  };

  it.each(spoilt)('%s is made anew in silence', (_, spoil) => {
    keep('a');
    keep('b', identified);
    const wanted = folderStore(folder).list();
    const good = row();
    writeFileSync(indexFile(), spoil(readFileSync(indexFile(), 'utf8')));
    expect(folderStore(folder).list()).toEqual(wanted);
    expect(folderStore(folder).list()).toEqual(wanted);
    expect(row()).toEqual(good);
    expect(Object.prototype).not.toHaveProperty('job');
  });

  it('of another store says nothing about this one', () => {
    keep('a', identified);
    names();
    const foreign = readFileSync(indexFile(), 'utf8');
    folder = scratch();
    keep('a');
    keep('z');
    mkdirSync(join(folder, 'index'));
    writeFileSync(indexFile(), foreign);
    expect(
      folderStore(folder)
        .list()
        .jobs.map(({ job, parts }) => [job, parts]),
    ).toEqual([
      ['a', []],
      ['z', []],
    ]);
  });

  it('is the only thing that listing writes', () => {
    keep('a');
    names();
    expect(readdirSync(folder).sort()).toEqual(['a.jsonl', 'index', 'packs']);
    expect(readdirSync(join(folder, 'index'))).toEqual(['jobs.json']);
    rmSync(join(folder, 'index'), { recursive: true });
    expect(names()).toEqual(['a']);
    expect(existsSync(indexFile())).toBe(true);
  });
});
