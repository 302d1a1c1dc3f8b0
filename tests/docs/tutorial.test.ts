import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { type CheckReport, checkPack, runTrials } from '@ferrule/check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fencedBlocks, filesOn } from './fenced-blocks.ts';

const page = readFileSync(new URL('../../docs/tutorial.md', import.meta.url), 'utf8');
const files = filesOn(page);
const blockOf = (start: string): string =>
  fencedBlocks(page).find(({ info }) => info.startsWith(start))?.text ?? '';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'ferrule-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function write(under: string, contents: ReadonlyMap<string, string>, pack = 'nozzles'): string {
  for (const [path, text] of contents) {
    const file = join(folder, under, path);
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, text);
  }
  return join(folder, under, pack);
}

/** Diagnostics as the command prints them, from inside the pack folder. */
const linesOf = (report: CheckReport): readonly string[] =>
  report.diagnostics.map(({ span, severity, code, message }) => {
    const place = span === undefined ? '.' : `${span.file}:${span.line}:${span.column}`;
    return `${place} ${severity} ${code} ${message}`;
  });

describe('the tutorial', () => {
  it('shows three whole files of each pack', () => {
    expect([...files.keys()]).toEqual([
      'nozzles/pack.yaml',
      'nozzles/procedures/test-nozzles.yaml',
      'nozzles/trials/trials.yaml',
      'lines/pack.yaml',
      'lines/procedures/look-at-lines.yaml',
      'lines/trials/trials.yaml',
    ]);
  });

  it('makes a pack in which check finds nothing, for both engines', async () => {
    const report = await checkPack(write('good', files));
    expect(linesOf(report)).toEqual([]);
    expect(report.proofs.map((proof) => [proof.variant, proof.exploration.reachesEnd])).toEqual([
      ['marram-three', true],
      ['marram-four', true],
    ]);
  });

  it('has two trials, and both come to what they expect', async () => {
    const { pack, digest } = await checkPack(write('good', files));
    if (pack === undefined || digest === undefined) throw new Error('the pack cannot be read');
    const results = runTrials(pack, digest);
    expect(results.map((one) => one.failures)).toEqual([[], []]);
    expect(results.map((one) => one.trial)).toEqual(['second-shim-helps', 'unscrewing-under-pressure']);
  });

  it('shows the message that the deliberate mistake gives', async () => {
    const path = 'nozzles/procedures/test-nozzles.yaml';
    const step = blockOf(`yaml without ${path}`);
    const whole = files.get(path) ?? '';
    expect(whole.split(step)).toHaveLength(2);
    const report = await checkPack(write('mistake', new Map([...files, [path, whole.replace(step, '')]])));
    const shown = blockOf('text check').trimEnd().split('\n');
    expect(shown[0]).toContain('law-broken');
    for (const line of shown) expect(linesOf(report)).toContain(line);
  });

  it('makes a second pack in which check finds nothing, and whose trials come to what they expect', async () => {
    const report = await checkPack(write('lines', files, 'lines'));
    const { pack, digest } = report;
    expect(linesOf(report)).toEqual([]);
    expect(report.proofs.map((proof) => proof.exploration.reachesEnd)).toEqual([true]);
    if (pack === undefined || digest === undefined) throw new Error('the pack cannot be read');
    expect(runTrials(pack, digest).map(({ trial, failures }) => [trial, failures])).toEqual([
      ['all-go-home', []],
      ['one-is-scored', []],
      ['swapped', []],
      ['leak-off-too-early', []],
    ]);
  });

  it('says of the second pack what is said when no tag is read', async () => {
    const path = 'lines/procedures/look-at-lines.yaml';
    const step = blockOf(`yaml without ${path}`);
    const whole = files.get(path) ?? '';
    expect(whole.split(step)).toHaveLength(2);
    const report = await checkPack(
      write('untagged', new Map([...files, [path, whole.replace(step, '')]]), 'lines'),
    );
    const [shown] = blockOf('text check lines').trimEnd().split('\n');
    expect(linesOf(report)).toContain(shown);
  });

  it('refuses the number of the old line for the new one', async () => {
    const path = 'lines/trials/trials.yaml';
    const trials = (files.get(path) ?? '').replace('[IL-0102, IL-0777, IL-0777]', '[IL-0102, IL-0102]');
    const { pack, digest } = await checkPack(
      write('old-number', new Map([...files, [path, trials]]), 'lines'),
    );
    if (pack === undefined || digest === undefined) throw new Error('the pack cannot be read');
    const scored = runTrials(pack, digest).find(({ trial }) => trial === 'one-is-scored');
    expect(scored?.failures.join(' ')).toContain('IL-0102 is the number of the old part');
  });

  it('is quoted by the README as it stands', () => {
    const readme = readFileSync(new URL('../../README.md', import.meta.url), 'utf8');
    const quoted = fencedBlocks(readme).filter(({ info }) => info === 'yaml');
    expect(quoted).toHaveLength(2);
    const flat = (text: string): string => text.replace(/^ +/gm, '');
    for (const { text } of quoted)
      expect([...files.values()].some((one) => flat(one).includes(flat(text)))).toBe(true);
  });
});
