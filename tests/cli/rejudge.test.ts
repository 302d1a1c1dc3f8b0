import { spawn } from 'node:child_process';
import {
  copyFileSync,
  cpSync,
  existsSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { basename, join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { folderStore, jobPath, readJob } from '@ferrule/records';
import { bundleOf, readPack } from '@ferrule/source';
import { Ajv2020 as Ajv } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { ferrule, root } from './ferrule.ts';
import { jobFileIn, scratch } from './scratch.ts';

const older = 'specs/marram-unit-pumps/1.0.0';
const newer = 'specs/marram-unit-pumps/1.1.0';
const procedure = ['--procedure', 'install-and-synchronise', '--variant', 'marram-four'];

/** A store with one job of the older revision, in which pumps 1 and 2 drift by −0.014 mm and +0.012 mm. */
function storeWithDrift(): string {
  const folder = scratch();
  const answers = join(folder, 'answers.yaml');
  writeFileSync(
    answers,
    'like: clean-four\nreadings:\n  after-clamping@1: 0.022 mm\n  after-clamping@2: 0.048 mm\n',
  );
  const store = join(folder, 'jobs');
  const ran = ferrule(['run', older, ...procedure, '--answers', answers, '--jobs', store]);
  expect(ran.exitCode).toBe(0);
  return store;
}

/** The same facts as a job of another name, written by the store. */
function addCopies(store: string, count: number): void {
  const read = readJob(jobFileIn(store));
  if (read.fault !== undefined) throw new Error(read.fault.message);
  const kept = folderStore(store);
  const bundle = kept.bundle(read.header.pack.digest) ?? '';
  for (let one = 0; one < count; one++) {
    const job = `copy-${String(one).padStart(4, '0')}`;
    kept.create({ ...read.header, job }, bundle, read.facts);
  }
}

const isDocument = new Ajv({ strict: false }).compile(
  JSON.parse(readFileSync(join(root, 'packages/compare/schema/rejudged.schema.json'), 'utf8')),
);

interface Document {
  readonly format: string;
  readonly files: number;
  readonly jobs: number;
  readonly asideCounts: Readonly<Record<string, number>>;
  readonly notice?: string;
  readonly rows: readonly {
    readonly of: string;
    readonly outcome: string;
    readonly was: { readonly verdict: string; readonly value: string; readonly limits: string };
    readonly is: { readonly verdict: string; readonly value: string; readonly limits: string };
    readonly changes: readonly { readonly change: string; readonly pointer: string }[];
  }[];
  readonly aside: readonly { readonly job: string; readonly because: string; readonly message: string }[];
}

const documentOf = (words: readonly string[]): Document => {
  const { stdout, stderr } = ferrule(['rejudge', ...words, '--format', 'json']);
  expect(stderr).toBe('');
  const document: Document = JSON.parse(stdout);
  expect(isDocument(document), JSON.stringify(isDocument.errors)).toBe(true);
  return document;
};

describe('rejudge', () => {
  it('says which verdicts of a job come out otherwise, and because of which change', () => {
    const store = storeWithDrift();
    const file = readFileSync(jobFileIn(store));
    const ran = ferrule(['rejudge', newer, '--jobs', store]);
    expect(ran.exitCode).toBe(1);
    expect(ran.stdout).toContain('2 verdicts of 1 job come out otherwise under 1.1.0.');
    expect(ran.stdout).toContain('Demonstration data.');
    const { format, jobs, rows, notice } = documentOf([newer, '--jobs', store]);
    expect({ format, jobs }).toEqual({ format: 'ferrule-rejudged-1', jobs: 1 });
    expect(notice).toContain('Demonstration data.');
    const changes = [
      {
        change: 'tightened',
        pointer: '/procedures/install-and-synchronise/tolerances/drift-limits/deviation',
      },
    ];
    // 0.012 mm lies on the limit of 0 ± 0.012 mm: inside the guard band of 1 × U whatever the indicator can do, so that
    // nothing is decided (JCGM 106, 8.3.2.3). 0.014 mm is beyond the limit by more than U.
    const before = { verdict: 'conforming', limits: '0 mm ± 0.016 mm' };
    const limits = '0 mm ± 0.012 mm';
    expect(rows.map(({ of, outcome, was, is, changes }) => ({ of, outcome, was, is, changes }))).toEqual(
      expect.arrayContaining([
        {
          ...{ of: 'drift-limits@2', outcome: 'changed', was: { ...before, value: '0.012 mm' }, changes },
          is: { verdict: 'inconclusive', value: '0.012 mm', limits, because: 'inside-guard-band' },
        },
        {
          ...{ of: 'drift-limits@1', outcome: 'changed', was: { ...before, value: '-0.014 mm' }, changes },
          is: { verdict: 'nonconforming', value: '-0.014 mm', limits },
        },
      ]),
    );
    expect(rows).toHaveLength(2);
    expect(readFileSync(jobFileIn(store))).toEqual(file);
    expect(readdirSync(store).sort()).toEqual([basename(jobFileIn(store)), 'packs']);
  });

  it('comes to what was recorded under the revision that the job was done by', () => {
    const store = storeWithDrift();
    const ran = ferrule(['rejudge', older, '--jobs', store, '--all']);
    expect(ran.exitCode).toBe(0);
    expect(ran.stdout).toContain('No verdict of 1 job comes out otherwise under 1.0.0.');
    expect(ran.stdout.replace(/\s+/g, ' ')).toContain('0 verdicts rest on nothing that has changed');
  });

  it('counts and names each file that it leaves aside', () => {
    const store = storeWithDrift();
    addCopies(store, 2);
    const broken = jobPath(store, 'copy-0000');
    writeFileSync(broken, readFileSync(broken, 'utf8').replace('"digits":"0.048"', '"digits":"0.038"'));
    copyFileSync(jobPath(store, 'copy-0001'), jobPath(store, 'other-name'));
    writeFileSync(join(store, 'Odd Name.jsonl'), '{}\n');
    writeFileSync(jobPath(store, 'of-no-bytes'), '');
    writeFileSync(
      jobPath(store, 'without-facts'),
      `${readFileSync(broken, 'utf8').split('\n')[0]?.replace('copy-0000', 'without-facts')}\n`,
    );
    const answers = join(scratch(), 'answers.yaml');
    writeFileSync(answers, 'like: all-inside\n');
    const words = ['--procedure', 'set-clearances', '--variant', 'marram-four', '--answers', answers];
    expect(ferrule(['run', 'specs/valve-clearance/1.0.0', ...words, '--jobs', store]).exitCode).toBe(0);
    const { files, jobs, asideCounts, aside } = documentOf([newer, '--jobs', store]);
    expect({ files, jobs }).toEqual({ files: 8, jobs: 2 });
    expect(asideCounts).toEqual({ broken: 2, empty: 2, 'no-job': 1, 'other-pack': 1 });
    expect(aside.find(({ job }) => job === 'copy-0000')?.message).toMatch(
      /^Line 2: fact \d+ does not follow the one before it/,
    );
    expect(aside.find(({ job }) => job === 'other-name')?.message).toContain('copy-0001');
    expect(aside.find(({ because }) => because === 'other-pack')?.message).toContain('valve-clearance 1.0.0');
  });

  it('says it when the revision of a job is not kept, or is another', () => {
    const store = storeWithDrift();
    const [pack = ''] = readdirSync(join(store, 'packs'));
    const path = join(store, 'packs', pack);
    writeFileSync(path, readFileSync(path, 'utf8').replace('0.016 mm', '0.019 mm'));
    const altered = documentOf([newer, '--jobs', store]);
    expect(altered.asideCounts).toEqual({ 'bundle-unreadable': 1 });
    expect(altered.aside[0]?.message).toContain('is something else: it was altered. Put back a copy');
    rmSync(path);
    expect(documentOf([newer, '--jobs', store]).asideCounts).toEqual({ 'no-bundle': 1 });
    expect(ferrule(['rejudge', newer, '--jobs', store]).exitCode).toBe(1);
  });

  it('refuses a folder that is no store, a pack that is none, and a call without one', () => {
    const empty = scratch();
    for (const [words, says] of [
      [[newer, '--jobs', join(empty, 'none')], 'there is no folder'],
      [[newer, '--jobs', empty], 'there is no job in'],
      [[newer], "required option '--jobs <store>'"],
      [[join(empty, 'pack'), '--jobs', storeWithDrift()], 'pack'],
    ] as const) {
      const ran = ferrule(['rejudge', ...words]);
      expect(ran.exitCode).toBe(2);
      expect(ran.stderr).toContain(says);
      expect(ran.stderr).not.toMatch(/\n\s+at /);
    }
  });

  it('says that nothing was judged, and does not write into the store', () => {
    const store = storeWithDrift();
    const named = ferrule(['rejudge', newer, '--jobs', store, '--procedure', 'install']);
    expect(named.exitCode).toBe(2);
    expect(named.stderr.replace(/\s+/g, ' ')).toContain(
      'has no procedure install. There are: as-received, before-first-start',
    );
    const into = ferrule(['rejudge', newer, '--jobs', store, '--out', `${store}/.`]);
    expect([into.exitCode, into.stderr]).toEqual([
      2,
      expect.stringContaining('the store is not written into'),
    ]);
    const other = ferrule(['rejudge', 'specs/valve-clearance/1.0.0', '--jobs', store]);
    expect(other.exitCode).toBe(1);
    expect(other.stdout).toContain('Nothing was judged');
  });

  it('has the same exit code when nobody reads what it says, and leaves nothing but the results', async () => {
    const store = storeWithDrift();
    const out = join(scratch(), 'out');
    const words = ['rejudge', newer, '--jobs', store, '--out', out];
    const child = spawn(process.execPath, ['packages/cli/bin/ferrule.js', ...words], { cwd: root });
    child.stdout.destroy();
    const code = await new Promise((done) => child.once('close', done));
    expect(code).toBe(1);
    expect(readdirSync(out).sort()).toEqual(
      ['csv', 'html', 'json', 'txt'].map((ending) => `rejudged.${ending}`),
    );
  });

  it('leaves a job with an overlay aside until a revision of the overlay is named that fits', async () => {
    const folder = scratch();
    const store = join(folder, 'jobs');
    const answers = join(folder, 'answers.yaml');
    writeFileSync(answers, 'like: east-clean-three\n');
    const station = 'specs/east-station/1.0.0';
    const three = ['--procedure', 'install-and-synchronise', '--variant', 'marram-three'];
    const words = [...three, '--overlay', station, '--answers', answers, '--jobs', store];
    expect(ferrule(['run', older, ...words]).exitCode).toBe(0);
    const without = documentOf([newer, '--jobs', store]);
    expect({ jobs: without.jobs, asideCounts: without.asideCounts }).toEqual({
      jobs: 0,
      asideCounts: { 'no-overlay': 1 },
    });
    expect(without.aside[0]?.message).toContain('east-station 1.0.0');
    // That revision is for another revision of the pack, and cannot be laid.
    const unfit = ferrule(['rejudge', newer, '--jobs', store, '--overlay', station]);
    expect(unfit.exitCode).toBe(1);
    expect(unfit.stdout).toContain('1.0.0');
    const fit = join(folder, 'station');
    cpSync(join(root, station), fit, { recursive: true });
    const { digest } = bundleOf((await readPack(join(root, newer))).document);
    const written = readFileSync(join(fit, 'overlay.yaml'), 'utf8');
    writeFileSync(
      join(fit, 'overlay.yaml'),
      written
        .replace('[-0.012 mm, 0.012 mm]', '[-0.011 mm, 0.011 mm]')
        .replace(
          /revision: 1\.0\.0\n {2}digest: 'sha256:[0-9a-f]+'/,
          `revision: 1.1.0\n  digest: '${digest}'`,
        ),
    );
    const laid = documentOf([newer, '--jobs', store, '--overlay', fit]);
    expect({ jobs: laid.jobs, asideCounts: laid.asideCounts }).toEqual({ jobs: 1, asideCounts: {} });
  });

  it('writes every format into a folder, and comes to the same when it was killed in between', async () => {
    const store = storeWithDrift();
    addCopies(store, 120);
    const whole = join(scratch(), 'whole');
    const cut = join(scratch(), 'cut');
    expect(ferrule(['rejudge', newer, '--jobs', store, '--all', '--out', whole]).exitCode).toBe(1);
    const progress = join(cut, 'rejudged.progress.jsonl');
    const child = spawn(
      process.execPath,
      [join(root, 'packages/cli/bin/ferrule.js'), 'rejudge', newer, '--jobs', store, '--all', '--out', cut],
      { cwd: root, stdio: 'ignore' },
    );
    const ended = new Promise((done) => child.on('close', done));
    while (!(existsSync(progress) && statSync(progress).size > 1000)) await wait(2);
    child.kill('SIGKILL');
    await ended;
    expect(readdirSync(cut).sort()).toEqual(['rejudged.progress.jsonl', 'rejudged.progress.jsonl.lock']);
    // As if the last line had been cut off, too.
    const left = readFileSync(progress);
    writeFileSync(progress, left.subarray(0, left.length - 10));
    expect(left.toString('utf8').split('\n').length).toBeLessThan(17);
    expect(ferrule(['rejudge', newer, '--jobs', store, '--all', '--out', cut]).exitCode).toBe(1);
    const names = ['rejudged.csv', 'rejudged.html', 'rejudged.json', 'rejudged.txt'];
    expect(readdirSync(whole).sort()).toEqual(names);
    expect(readdirSync(cut).sort()).toEqual(names);
    for (const name of names)
      expect(readFileSync(join(cut, name)).equals(readFileSync(join(whole, name)))).toBe(true);
    const rows = readFileSync(join(whole, 'rejudged.csv'), 'utf8').split('\r\n');
    expect(rows).toHaveLength(1 + 2 * 121 + 1);
    expect(readFileSync(join(whole, 'rejudged.html'), 'utf8')).toContain('Demonstration data.');
  }, 60_000);
});
