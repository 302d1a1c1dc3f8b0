import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { ferrule, type Ran } from './ferrule.ts';
import { copyOfPack, jobFileIn, scratch } from './scratch.ts';

const flat = (text: string): string => text.replace(/\s+/g, ' ');

/** A store with odd signs in its name and one closed and signed job, whose pack is gone again. */
function closedJob() {
  // It outlives a single test, unlike what scratch gives.
  const folder = mkdtempSync(join(tmpdir(), 'ferrule-kept-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  const store = join(folder, 'jobs of "March" ü$(x)');
  const answers = join(folder, 'answers.yaml');
  const key = join(folder, 'lead.key');
  writeFileSync(answers, 'like: all-inside\n');
  expect(ferrule(['key', 'new', key]).exitCode).toBe(0);
  const pack = copyOfPack('valve-clearance/1.0.0');
  expect(ferrule(['release', pack, '--key', key]).exitCode).toBe(0);
  const ran = ferrule([
    ...['run', pack, '--procedure', 'set-clearances', '--variant', 'marram-four'],
    ...['--jobs', store, '--answers', answers, '--key', key],
  ]);
  expect(ran.stdout).toMatch(/^The record is signed with the key ed25519:[0-9a-f]{16}…$/m);
  expect(ran.exitCode).toBe(0);
  rmSync(pack, { recursive: true });
  const file = jobFileIn(store);
  return { folder, store, file, key, job: file.slice(store.length + 1, -'.jsonl'.length) };
}

describe('a kept job whose pack is gone', () => {
  const made = closedJob();
  const { folder, store, job, key, file } = made;
  const jobs = (...words: readonly string[]): Ran => ferrule(['jobs', ...words]);

  it('is listed, shown, printed and verified from its store alone', () => {
    const list = jobs('list', store, '--state', 'closed', '--instrument', 'FG-1', '--person', 'lead C');
    expect(flat(list.stdout)).toMatch(
      new RegExp(
        `^${job}: closed, signed set-clearances, marram-four, valve-clearance 1\\.0\\.0; .* 1 job\\. $`,
      ),
    );
    expect(jobs('list', store, '--state', 'held').stdout).toBe('0 jobs.\n');
    expect(JSON.parse(jobs('list', store, '--format', 'json').stdout)).toMatchObject({
      jobs: [{ job, state: 'closed', signed: true, persons: ['technician A', 'lead C'] }],
      faults: [],
    });
    const day = job.slice(0, 10);
    for (const [words, count] of [
      [['--person', 'technician A', '--role', 'technician'], 1],
      [['--person', 'technician A', '--role', 'lead'], 0],
      [['--instrument', 'FG-1', '--from', day, '--until', day], 1],
      [['--instrument', 'FG-1', '--until', '2020-01-01'], 0],
      [['--granted-by', 'lead C'], 0],
      [['--concession', 'FG-1'], 0],
      [['--lot', 'SL-1'], 0],
      [['--digest', 'sha256:0'], 0],
    ] as const)
      expect(jobs('list', store, ...words).stdout, words.join(' ')).toMatch(
        new RegExp(`^${count} jobs?\\.$`, 'm'),
      );
    for (const [words, says] of [
      [
        ['--pack', 'valve-clearence'],
        'is of the pack valve-clearence. Did you mean valve-clearance? There is',
      ],
      [['--revision', '9.0.0'], 'No job here is of the revision 9.0.0. Did you mean 1.0.0?'],
      [
        ['--role', 'tecnician'],
        'has the role tecnician. Did you mean technician? There are lead, technician.',
      ],
      [['--person', 'Lead C'], 'is called Lead C. Did you mean lead C? There are lead C, technician A.'],
      [['--engine', 'ME-0'], ''],
      [['--role', 'lead', '--until', '2020-01-01'], ''],
    ] as const) {
      const { exitCode, stdout, stderr } = jobs('list', store, ...words);
      expect([words, exitCode, stdout]).toEqual([words, 0, '0 jobs.\n']);
      if (says === '') expect([words, stderr]).toEqual([words, '']);
      else expect(stderr).toContain(says);
    }
    expect(JSON.parse(jobs('list', store, '--role', 'tecnician', '--format', 'json').stdout).unknown).toEqual(
      [expect.objectContaining({ name: 'role', value: 'tecnician', near: 'technician' })],
    );
    expect(jobs('list', store, '--limit', '9999999999').stderr).toContain('It is at most 999999999.');
    expect(jobs('list', store, '--limit', '0').stderr).toContain('It is a whole number above zero.');
    expect(jobs('list', store, '--limit', '0').stderr).toContain('jobs list --help shows how it is called.');
    const [head, row = '', ...rest] = jobs('list', store, '--format', 'csv').stdout.split('\n');
    expect(head).toMatch(/^job,state,signed,pack,.*,concessions,nonconforming$/);
    expect(row).toContain(`"${job}","closed","yes","valve-clearance","1.0.0","sha256:`);
    expect(row).toContain(',"technician A; lead C",');
    expect(rest).toEqual(['']);
    const shown = jobs('show', store, job).stdout;
    expect(shown).toMatch(/^ {4}1 {2}\d\d:\d\d {2}technician A {2}Job started: /m);
    expect(shown).toMatch(/The record ends with\nsha256:[0-9a-f]{64}\n$/);
    const card = join(folder, 'card.html');
    expect(jobs('card', store, job, '--out', card).exitCode).toBe(0);
    expect(readFileSync(card, 'utf8')).toContain('<!doctype html>');
    expect(readFileSync(card, 'utf8')).toContain('signed by technician A');
    expect(JSON.parse(jobs('card', store, job, '--form', 'json').stdout)).toMatchObject({
      job: { id: job },
      release: {
        state: 'signed',
        says: expect.stringMatching(/^The pack is signed by key .* under a policy\.$/),
      },
      signature: {
        state: 'signed',
        says: expect.stringMatching(/^The record is signed by technician A at /),
      },
    });
    const verified = ferrule(['verify', join(store, job), '--key', `${key}.pub`]);
    expect(flat(verified.stdout)).toContain(`${job}: nothing in it was changed`);
    expect(verified.exitCode).toBe(0);
    const last = /sha256:[0-9a-f]{64}\n$/.exec(shown)?.[0].trim() ?? '';
    expect(ferrule(['verify', join(store, job), '--expect', last]).exitCode).toBe(0);
    expect(ferrule(['verify', join(store, job), '--expect', last.replace(/.$/, 'x')]).exitCode).toBe(2);
    const again = ferrule(['run', '--jobs', store, '--job', job]);
    expect(flat(again.stdout)).toContain('is closed: nothing more can be done with it.');
  });

  it('goes to another store in one file, which verify takes too', () => {
    const out = join(folder, 'job.json');
    expect(jobs('export', store, job, '--out', out).exitCode).toBe(0);
    expect(ferrule(['verify', out, '--key', `${key}.pub`]).exitCode).toBe(0);
    const other = join(folder, 'other');
    expect(jobs('import', other, out).stdout).toContain('was taken in');
    expect(flat(jobs('import', other, out).stdout)).toContain('Nothing was changed.');
    expect(readFileSync(join(other, `${job}.jsonl`), 'utf8')).toBe(readFileSync(file, 'utf8'));
    writeFileSync(out, readFileSync(out, 'utf8').replace('technician A', 'technician B'));
    const spoilt = jobs('import', join(folder, 'third'), out);
    expect(spoilt.stderr).toContain('The record is not sound.');
    expect(spoilt.exitCode).toBe(1);
    expect(existsSync(join(folder, 'third', `${job}.jsonl`))).toBe(false);
    expect(ferrule(['verify', out]).exitCode).toBe(1);
  });

  it('shows each change when its store is verified, with another key as well', () => {
    const copy = join(folder, 'copy');
    jobs('export', store, job, '--out', join(folder, 'again.json'));
    jobs('import', copy, join(folder, 'again.json'));
    const lines = readFileSync(join(copy, `${job}.jsonl`), 'utf8').split('\n');
    writeFileSync(join(copy, `${job}.jsonl`), `${lines.toSpliced(4, 1).slice(0, -2).join('\n')}\n`);
    const { exitCode, stdout } = ferrule(['verify', copy]);
    expect(flat(stdout)).toMatch(/NOT SOUND .* - Fact \d+ is missing\. .* The end is gone: /);
    expect(exitCode).toBe(1);
    const foreign = join(folder, 'foreign.key');
    ferrule(['key', 'new', foreign]);
    const wrong = ferrule(['verify', join(store, job), '--key', `${foreign}.pub`]);
    expect(flat(wrong.stdout)).toContain('that is none of the keys that count');
    expect(wrong.exitCode).toBe(1);
  });
});

it('a job that is not there, a store that is none, a key without a store: each is told', () => {
  const empty = scratch();
  for (const [words, says] of [
    [['jobs', 'show', empty, 'x'], 'there is no job x'],
    [['jobs', 'show', empty, '../x'], 'there is no job ../x'],
    [['jobs', 'export', empty, 'x', '--out', join(empty, 'y')], 'there is no job x'],
    [['jobs', 'list', join(empty, 'gone')], 'there is no folder'],
    [['jobs', 'list', empty, '--limit', '0'], 'whole number above zero'],
    [['jobs', 'list', empty, '--state', 'done'], 'Allowed choices'],
    [['jobs', 'list', empty, '--from', '2026-02-30'], 'It is a day, such as 2026-03-02.'],
    [['jobs', 'used', empty, 'X', '--until', 'today'], 'It is a day, such as 2026-03-02.'],
    [['jobs', 'import', empty, join(empty, 'gone')], 'cannot be read'],
    [['run', 'specs/valve-clearance/1.0.0', '--key', 'x'], '--key needs --jobs'],
    [['run', '--jobs', empty], 'a new job needs PACK'],
  ] as const) {
    const ran = ferrule(words);
    expect(flat(ran.stderr), words.join(' ')).toContain(says);
    expect(ran.exitCode).toBe(2);
  }
});
