import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { InventedJobs } from '../compare/invented-store.ts';
import { ferrule, type Ran } from './ferrule.ts';

const folder = mkdtempSync(join(tmpdir(), 'ferrule-spread-'));
const store = join(folder, 'jobs');
afterAll(() => rmSync(folder, { recursive: true, force: true }));
beforeAll(async () => {
  (await InventedJobs.make()).write(store, 12, 3);
}, 240_000);

const spread = (...words: readonly string[]): Ran =>
  ferrule(['jobs', 'spread', store, '--pack', 'marram-bore-survey', ...words]);
const flat = (text: string): string => text.replace(/\s+/g, ' ');

it('says how readings lie against a limit as text, document, rows and page: all say the same', () => {
  const json = spread('drops', '--format', 'json');
  const [one] = JSON.parse(json.stdout).against;
  const { count, nonconforming, mean } = one.counted;
  const text = spread('drops');
  expect(text.stdout).toMatch(new RegExp(`^in all +${count} +${nonconforming} +0 +${mean} `, 'm'));
  expect(text.stdout).toMatch(/^ {2}-+ at most 6$/m);
  expect(flat(text.stdout)).toContain('NOTICE: Demonstration data.');
  expect(flat(text.stdout)).toContain('Ferrule never says that a job is safe.');
  const [head, first = '', ...rest] = spread('drops', '--format', 'csv').stdout.trimEnd().split('\n');
  expect(head).toMatch(/^of,procedure,limits,.*,near$/);
  expect(first).toContain(`"all",,${count},`);
  expect(rest).toHaveLength(6);
  const out = join(folder, 'drops.html');
  const html = spread('drops', '--format', 'html', '--out', out);
  expect([html.exitCode, flat(html.stdout)]).toEqual([0, expect.stringContaining(`${count} values of`)]);
  const page = readFileSync(out, 'utf8');
  expect(page).toContain('<svg');
  expect(page).toContain('Ferrule never says that a job is safe.');
  expect(page).toContain('Demonstration data.');
  expect([json, text].map(({ exitCode }) => exitCode)).toEqual([0, 0]);
});

it('names what was meant, and what is wrong with the call', () => {
  for (const [words, says] of [
    [['pump-heigth'], 'Did you mean pump-height?'],
    [
      ['drops', '--revision', '1.0.9'],
      'No job of marram-bore-survey here is of the revision 1.0.9. Did you mean 1.0.0? There is 1.0.0.',
    ],
    [
      ['drops', '--variant', 'marram-sixx'],
      'No job of marram-bore-survey here is of the variant marram-sixx. Did you mean marram-six? There is',
    ],
    [
      ['drops', '--procedure', 'x'],
      'No job of marram-bore-survey here is of the procedure x. There is survey.',
    ],
    [
      ['drops', '--pack', 'marram-bore-survy'],
      'No job here is of the pack marram-bore-survy. Did you mean marram-bore-survey? There is',
    ],
    [['drops', '--lot', 'x'], 'ferrule jobs spread --help shows how it is called.'],
    [['drops', '--from', '2024-13-01'], 'It is a day, such as 2026-03-02.'],
    [['drops', '--from', '2024-02-01', '--until', '2024-01-01'], 'the last one is before the first'],
    [['drops', '--out', join(folder, 'gone', 'x')], 'cannot be written'],
  ] as const) {
    const ran = spread(...words);
    expect([words, ran.exitCode]).toEqual([words, 2]);
    expect(flat(ran.stderr)).toContain(says);
  }
});

it('leaves out a copy of a job under another name, which would count twice', () => {
  const before = JSON.parse(spread('drops', '--format', 'json').stdout).against[0].counted;
  copyFileSync(join(store, 'survey-0000003.jsonl'), join(store, 'survey-0000099.jsonl'));
  const { exitCode, stdout } = spread('drops', '--format', 'json');
  expect(exitCode).toBe(1);
  expect(JSON.parse(stdout).against[0].counted).toEqual(before);
  const used = ferrule(['jobs', 'used', store, 'SB-01']);
  expect(used.exitCode).toBe(1);
  expect(flat(used.stdout + used.stderr)).toContain('in a file that was copied or renamed');
  rmSync(join(store, 'survey-0000099.jsonl'));
});

it('has exit code 1 when a file had to be left out, and says which', () => {
  writeFileSync(join(store, 'survey-0000000.jsonl'), 'no record\n');
  const { exitCode, stdout } = spread('drops');
  expect(exitCode).toBe(1);
  expect(flat(stdout)).toMatch(/1 file left out: .* Files that are left out survey-0000000: Line 1: /);
});
