import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ferrule } from './ferrule.ts';
import { copyOfPack, scratch } from './scratch.ts';

const clearance = 'specs/valve-clearance/1.0.0';
const pumps = 'specs/marram-unit-pumps/1.0.0';
const job = ['--procedure', 'set-clearances', '--variant', 'marram-four'];
const deferral = 'Ferrule never says that a job is safe.';

describe('sheet', () => {
  it('writes one page of HTML to stdout, or into a file', () => {
    const { exitCode, stdout, stderr } = ferrule(['sheet', clearance, ...job]);
    expect([exitCode, stderr]).toEqual([0, '']);
    expect(stdout).toMatch(/^<!doctype html>[\s\S]*<\/html>\n$/);
    const file = join(scratch(), 'sheet.html');
    const written = ferrule(['sheet', clearance, ...job, '--out', file]);
    expect([written.exitCode, written.stdout]).toEqual([
      0,
      `${file} written. Open it in a browser and print it.\n`,
    ]);
    expect(readFileSync(file, 'utf8')).toBe(stdout);
  });
  it('bears the digest that check gives', () => {
    const { packs } = JSON.parse(ferrule(['check', clearance, '--format', 'json']).stdout) as {
      readonly packs: readonly { readonly digest: string }[];
    };
    const digest = packs[0]?.digest ?? '-';
    expect(digest).toMatch(/^sha256:[0-9a-f]{64}$/);
    const { sheet, ...rest } = JSON.parse(
      ferrule(['sheet', clearance, ...job, '--format', 'json']).stdout,
    ) as Readonly<Record<string, string>>;
    expect(sheet).toContain(digest);
    expect(rest).toMatchObject({ pack: 'valve-clearance', revision: '1.0.0', digest });
  });
  it.each([
    [['sheet', clearance, '--variant', 'marram-four'], /required option '--procedure <name>' not specified/],
    [['sheet', clearance, '--procedure', 'adjust-inlet', '--variant', 'marram-four'], /is no job of its own/],
    [['sheet', clearance, '--procedure', 'set-clearances', '--variant', 'x'], /there is no variant x here/],
    [['sheet', clearance, ...job, '--out', 'nowhere/at/all.html'], /cannot be written \(ENOENT\)/],
  ])('%j is a wrong call', (words, reason) => {
    const { exitCode, stdout, stderr } = ferrule(words);
    expect([exitCode, stdout]).toEqual([2, '']);
    expect(stderr).toMatch(reason);
  });
});

describe('crank --svg', () => {
  it('draws the crank to stdout, or into a file', () => {
    const call = ['crank', pumps, '--variant', 'marram-five', '--svg'];
    const { exitCode, stdout } = ferrule(call);
    expect(exitCode).toBe(0);
    expect(stdout).toMatch(/^<svg [\s\S]*Demonstration data[\s\S]*<\/svg>\n$/);
    expect(stdout).toContain(deferral);
    expect(ferrule([...call, '-']).stdout).toBe(stdout);
    const file = join(scratch(), 'crank.svg');
    expect(ferrule([...call, file]).stdout).toBe(`${file} written.\n`);
    expect(readFileSync(file, 'utf8')).toBe(stdout);
  });
});

describe('check --graph', () => {
  it('draws the one procedure that there is', () => {
    const file = join(scratch(), 'work.svg');
    const { exitCode, stdout } = ferrule(['check', clearance, '--graph', file]);
    expect(exitCode).toBe(0);
    expect(stdout).toContain(`${file} drawn.`);
    expect(readFileSync(file, 'utf8')).toMatch(/^<svg [\s\S]*Feel the clearance[\s\S]*<\/svg>\n$/);
  });
  it('names several pictures after what they show', () => {
    const folder = scratch();
    const later = copyOfPack('valve-clearance/1.0.0', ['pack.yaml', 'revision: 1.0.0', 'revision: 1.0.1']);
    const { stdout } = ferrule([
      ...['check', clearance, later, '--graph', join(folder, 'work.svg'), '--format', 'json'],
    ]);
    const names = ['1.0.0', '1.0.1'].map(
      (revision) => `work-valve-clearance-${revision}-set-clearances-marram-four.svg`,
    );
    expect((JSON.parse(stdout) as { graphs: readonly string[] }).graphs).toEqual(
      names.map((name) => join(folder, name)),
    );
    expect(readdirSync(folder).sort()).toEqual(names);
  });
  it('marks where the proof failed', () => {
    const file = join(scratch(), 'work.svg');
    const pack = copyOfPack('valve-clearance/1.0.0', [
      'procedures/set-clearances.yaml',
      'changes: { cloths: [in, out] }',
      'with: [cloth]',
    ]);
    expect(ferrule(['check', pack, '--graph', file]).exitCode).toBe(1);
    expect(readFileSync(file, 'utf8')).toMatch(/PROOF FAILED: 1</);
  });
  it.each([
    [['check', clearance, '--variant', 'marram-four'], /say what --graph draws, and it is not there/],
    [
      ['check', clearance, '--graph', 'x.svg', '--variant', 'x'],
      /There is set-clearances for marram-four\.$/m,
    ],
  ])('%j is a wrong call', (words, reason) => {
    const { exitCode, stderr } = ferrule(words);
    expect(exitCode).toBe(2);
    expect(stderr).toMatch(reason);
  });
});
