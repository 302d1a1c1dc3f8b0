import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { bundleOf, readPack } from '@ferrule/source';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, test } from 'vitest';
import { ferrule, root } from './ferrule.ts';
import { copyOfPack, scratch } from './scratch.ts';

const older = 'specs/marram-unit-pumps/1.0.0';
const newer = 'specs/marram-unit-pumps/1.1.0';
const flat = (text: string): string => text.replace(/\s+/g, ' ');

test('two revisions that own up to everything: each change with its places, and 0', () => {
  const { stdout, stderr, exitCode } = ferrule(['compare', '--without-behaviour', older, newer]);
  expect(stderr).toBe('');
  expect(exitCode).toBe(0);
  const said = flat(stdout);
  expect(said).toContain('the permitted range was 0 mm ± 0.016 mm, and is now 0 mm ± 0.012 mm');
  expect(said).toContain(`${newer}/procedures/close.yaml:70:18`);
  expect(said).toContain('NOTICE Demonstration data.');
  expect(said).toContain('Ferrule never says that a job is safe.');
  expect(said).not.toContain('NOT OWNED UP TO');
});

test('as JSON it is a document of the published schema', () => {
  const { stdout } = ferrule(['compare', '--without-behaviour', older, newer, '--format', 'json']);
  const schema: object = JSON.parse(
    readFileSync(join(root, 'packages/compare/schema/comparison.schema.json'), 'utf8'),
  );
  const isValid = new Ajv2020({ strict: true }).compile(schema);
  isValid(JSON.parse(stdout));
  expect(isValid.errors ?? []).toEqual([]);
});

test('as Markdown and as a page that loads nothing, with notice and deferral', () => {
  const folder = scratch();
  const markdown = ferrule(['compare', '--without-behaviour', older, newer, '--format', 'markdown']).stdout;
  expect(markdown).toMatch(/^# Unit injection pumps of the Marram engines: 1\.0\.0 to 1\.1\.0\n/);
  const file = join(folder, 'comparison.html');
  expect(
    ferrule(['compare', '--without-behaviour', older, newer, '--format', 'html', '--out', file]).exitCode,
  ).toBe(0);
  const html = readFileSync(file, 'utf8');
  for (const text of [markdown, html]) {
    expect(text).toContain('Demonstration data.');
    expect(text).toContain('0.00063 in');
    expect(text).toContain('Ferrule never says that a job is safe.');
  }
  expect(html).toContain("default-src 'none'");
  expect(html).not.toMatch(/<script|src=|href=/);
});

describe('what a revision does not own up to is said, and is 1', () => {
  test('a loosened limit in a revision that is called minor, and that the changelog does not name', () => {
    const edited = copyOfPack('marram-unit-pumps/1.1.0', [
      'procedures/first-start.yaml',
      'at-least: 130 kPa',
      'at-least: 120 kPa',
    ]);
    const { stdout, exitCode } = ferrule(['compare', '--without-behaviour', older, edited]);
    expect(exitCode).toBe(1);
    const said = flat(stdout);
    expect(said).toContain('The changes ask for a major revision, but 1.0.0 to 1.1.0 is a minor revision');
    expect(said).toContain('CHANGELOG.md names oil-pressure-limit');
    expect(said).toContain('does not say 120 kPa');
    expect(said.indexOf('PROTECTS LESS')).toBeLessThan(said.indexOf('TOUCHES SAFETY'));
  });
  test('a caution that the changelog is silent about', () => {
    const edited = copyOfPack('marram-unit-pumps/1.1.0', ['CHANGELOG.md', /- Caution added[^\n]*\n/, '']);
    const { stdout, exitCode } = ferrule(['compare', '--without-behaviour', older, edited]);
    expect(exitCode).toBe(1);
    expect(flat(stdout)).toContain('CHANGELOG.md does not name two-turns');
  });
  test('no changelog at all', () => {
    const edited = copyOfPack('marram-unit-pumps/1.1.0');
    rmSync(join(edited, 'CHANGELOG.md'));
    const { stdout, exitCode } = ferrule(['compare', '--without-behaviour', older, edited]);
    expect(exitCode).toBe(1);
    expect(flat(stdout)).toContain('There is no CHANGELOG.md beside the manifest of 1.1.0');
  });
  test('two contents under one number', () => {
    const edited = copyOfPack('marram-unit-pumps/1.1.0', [
      'procedures/first-start.yaml',
      'at-least: 130 kPa',
      'at-least: 140 kPa',
    ]);
    const { stdout, exitCode } = ferrule(['compare', '--without-behaviour', newer, edited]);
    expect(exitCode).toBe(1);
    expect(flat(stdout)).toContain('both call themselves 1.1.0: one number stands for two contents');
  });
  test('the newer revision named first', () => {
    const { stdout, exitCode } = ferrule(['compare', '--without-behaviour', newer, older]);
    expect(exitCode).toBe(1);
    expect(flat(stdout)).toContain('Name the older revision first');
  });
});

test('a bundle says the same as its folder, without places', async () => {
  const file = join(scratch(), 'bundle.json');
  writeFileSync(file, bundleOf((await readPack(join(root, newer))).document).text);
  const sentences = (words: readonly string[]): readonly string[] =>
    JSON.parse(ferrule(['compare', '--without-behaviour', ...words, '--format', 'json']).stdout).changes.map(
      ({ says }: { readonly says: string }) => says,
    );
  const { stdout, exitCode } = ferrule(['compare', '--without-behaviour', older, file]);
  expect(exitCode).toBe(0);
  expect(flat(stdout)).toContain('The changelog was not looked at');
  expect(sentences([older, file])).toEqual(sentences([older, newer]));
  expect(ferrule(['compare', '--without-behaviour', newer, file]).stdout).toContain(
    'their digests are equal',
  );
});

test('a bundle that was altered is told from a file that is none', async () => {
  const { text, digest } = bundleOf((await readPack(join(root, newer))).document);
  const kept = join(scratch(), `${digest.slice('sha256:'.length)}.json`);
  const compared = (content: string) => {
    writeFileSync(kept, content);
    const { exitCode, stdout, stderr } = ferrule(['compare', '--without-behaviour', older, kept]);
    return { exitCode, said: flat(stdout + stderr) };
  };
  expect(compared(text).exitCode).toBe(0);
  const other = compared(text.replace('130 kPa', '140 kPa'));
  expect(other).toMatchObject({
    exitCode: 1,
    said: expect.stringContaining('it was altered. Put back a copy'),
  });
  const spaced = compared(text.replace(',"format"', ', "format"'));
  expect(spaced.exitCode).toBe(1);
  expect(spaced.said).toContain('not in canonical form: it was altered');
  expect(compared('{}').said).not.toContain('altered');
});

test('an overlay is compared with the pack that it was laid over', () => {
  const { stdout, exitCode } = ferrule([
    ...['compare', '--without-behaviour', older, older, '--overlay-after', 'specs/east-station/1.0.0'],
  ]);
  const said = flat(stdout);
  expect(exitCode).toBe(0);
  expect(said).toContain('with overlay east-station 1.0.0');
  expect(said).toContain('No change is known to protect less.');
});

describe('a wrong call', () => {
  test.each([
    ['two packs', ['specs/marram-governor/1.0.0', newer], 2, 'Two revisions of one pack are compared.'],
    ['no folder', ['nowhere', newer], 2, 'Name a folder with a pack.yaml'],
    ['a folder that is no pack', [older, 'specs'], 1, 'There is no pack.yaml here.'],
    ['a file that is no bundle', ['package.json', newer], 1, 'This JSON is not a bundle.'],
    ['a file that is no JSON', ['README.md', newer], 1, 'This is no bundle: it is not JSON.'],
    ['one revision alone', [older], 2, "missing required argument 'NEW'"],
  ])('%s', (_, words, code, says) => {
    const { stdout, stderr, exitCode } = ferrule(['compare', '--without-behaviour', ...words]);
    expect(exitCode).toBe(code);
    expect(stdout + stderr).toContain(says);
    expect(stdout + stderr).not.toMatch(/\n\s+at /);
  });
  test('a pack with faults: which, and nothing is compared', () => {
    const edited = copyOfPack('marram-unit-pumps/1.1.0', [
      'procedures/first-start.yaml',
      'at-least: 130 kPa',
      'at-leest: 130 kPa',
    ]);
    const { stdout, stderr, exitCode } = ferrule(['compare', '--without-behaviour', older, edited]);
    expect(exitCode).toBe(1);
    expect(stdout).toContain('unknown-key');
    expect(stderr).toContain('Nothing was compared.');
    expect(stdout).not.toContain('TOUCHES');
  });
});

test('what jobs may come to now, and the trials that come out otherwise, stand at the end', {
  timeout: 60_000,
}, () => {
  const text = flat(ferrule(['compare', newer, older]).stdout);
  expect(text).toContain('WHAT JOBS MAY COME TO NOW');
  expect(text).toContain('clean-six (install-and-synchronise, marram-six)');
  expect(text).toMatch(/1–\d+\. As it is written, nothing outside its limits/);
  // The way to the step that shows a hazard less ends at that step.
  expect(text).toMatch(/\d+\. "Turn the crankshaft by hand through two full turns/);
  expect(text).not.toContain('The time was over');
});
