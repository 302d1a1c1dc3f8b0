import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ferrule } from './ferrule.ts';
import { scratch } from './scratch.ts';

const files = ['pack.yaml', 'procedures/set-gap.yaml', 'trials/set-gap.yaml'];

describe('new', () => {
  it.each([
    ['nozzles', 'nozzles', '0.1.0'],
    ['Valve Clearance', 'valve-clearance', '0.1.0'],
    ['specs/pumps/2.3.4', 'pumps', '2.3.4'],
    ['9 º Ölpumpe!', 'pack-9-o-olpumpe', '0.1.0'],
    ['todo', 'todo', '0.1.0'],
    ['x', 'x', '0.1.0'],
    ['…', 'pack', '0.1.0'],
    ['constructor', 'constructor', '0.1.0'],
    [`${'very-long-'.repeat(12)}`, `${'very-long-'.repeat(6)}very`, '0.1.0'],
  ])('writes into %s a pack in which check finds nothing, and its trial passes', (folder, name, revision) => {
    const cwd = scratch();
    const made = ferrule(['new', folder], { cwd });
    expect(made).toMatchObject({ exitCode: 0, stderr: '' });
    for (const file of files) expect(made.stdout).toContain(`${folder}/${file}`);
    const checked = JSON.parse(ferrule(['check', folder, '--format', 'json'], { cwd }).stdout).packs[0];
    expect(checked).toMatchObject({ pack: name, revision, diagnostics: [] });
    expect(checked.proofs).toHaveLength(2);
    for (const proof of checked.proofs)
      expect(proof).toMatchObject({ reachesEnd: true, cutShort: false, refutations: [] });
    const tried = JSON.parse(ferrule(['trial', folder, '--format', 'json'], { cwd }).stdout);
    expect(tried).toMatchObject({ passed: 1, failed: 0 });
  });

  it('names next steps that can be typed as they stand', () => {
    const cwd = scratch();
    const { next } = JSON.parse(ferrule(['new', 'my pack', '--format', 'json'], { cwd }).stdout);
    expect(next).toHaveLength(4);
    for (const call of next) {
      const words = [...String(call).matchAll(/'([^']*)'|(\S+)/g)].map((one) => one[1] ?? one[2] ?? '');
      const ran = ferrule(words.slice(words.indexOf('ferrule') + 1), { cwd });
      expect(ran.exitCode, `${call}\n${ran.stderr}`).toBe(0);
    }
    expect(readFileSync(join(cwd, 'sheet.html'), 'utf8')).toContain('Demonstration data.');
  });

  it('has a pack for which what is missing is told, and drafted, and passes', () => {
    const cwd = scratch();
    ferrule(['new', 'a'], { cwd });
    const { stdout } = ferrule(['trial', 'a', '--unreached'], { cwd });
    expect(stdout).toContain('no trial is refused by the law locked-to-close');
    expect(ferrule(['trial', 'a', '--write-missing'], { cwd }).exitCode).toBe(0);
    const again = JSON.parse(ferrule(['trial', 'a', '--format', 'json'], { cwd }).stdout);
    expect(again.failed).toBe(0);
    expect(again.passed).toBeGreaterThan(3);
  });

  it('is told by check what can go wrong where a step is left out, as its comment says', () => {
    const cwd = scratch();
    ferrule(['new', 'a'], { cwd });
    const file = join(cwd, 'a/procedures/set-gap.yaml');
    const whole = readFileSync(file, 'utf8');
    const without = whole.replace(/ +- step: lock-screw\n(?: {10}.*\n)+/, '');
    expect(without).not.toBe(whole);
    writeFileSync(file, without);
    const { exitCode, stdout } = ferrule(['check', 'a'], { cwd });
    expect(exitCode).toBe(1);
    expect(stdout).toMatch(/Adjusting screw is "free" since step \d+;/);
  });

  it('explains each key of its files, and says that its values are demonstration data', () => {
    const cwd = scratch();
    ferrule(['new', 'a'], { cwd });
    for (const file of files) {
      const lines = readFileSync(join(cwd, 'a', file), 'utf8').split('\n');
      lines.forEach((line, at) => {
        if (/^[a-z-]+:/.test(line)) expect(lines[at - 1], `${file}: ${line}`).toMatch(/^#|^$/);
      });
      const bare = lines.filter((line, at) => /^[a-z-]+:/.test(line) && !/^#/.test(lines[at - 1] ?? ''));
      expect(bare).toEqual(file === 'trials/set-gap.yaml' ? ['trials:'] : []);
      // Keys that stand further in are named in the comments, or say what they are beside one that is explained.
      for (const line of lines) expect([...line].length).toBeLessThanOrEqual(120);
    }
    expect(readFileSync(join(cwd, 'a/pack.yaml'), 'utf8')).toMatch(/^notice: Demonstration data\./m);
  });

  it('overwrites nothing and writes nothing into a folder that is not empty', () => {
    const cwd = scratch();
    mkdirSync(join(cwd, 'full'));
    writeFileSync(join(cwd, 'full/notes.txt'), 'mine');
    writeFileSync(join(cwd, 'file'), 'mine');
    for (const [folder, reason] of [
      ['full', /^ferrule: full is not empty, and nothing was written\./],
      ['file', /^ferrule: file is a file or lies in one\./],
      ['file/inside', /^ferrule: file\/inside is a file or lies in one\./],
    ] as const) {
      const { exitCode, stdout, stderr } = ferrule(['new', folder], { cwd });
      expect([exitCode, stdout]).toEqual([2, '']);
      expect(stderr).toMatch(reason);
    }
    expect(readdirSync(join(cwd, 'full'))).toEqual(['notes.txt']);
    expect(readFileSync(join(cwd, 'full/notes.txt'), 'utf8')).toBe('mine');
    mkdirSync(join(cwd, 'empty'));
    expect(ferrule(['new', 'empty'], { cwd }).exitCode).toBe(0);
    expect(ferrule(['new', 'empty'], { cwd }).exitCode).toBe(2);
  });

  it('says in one line where a folder cannot be made', () => {
    const { exitCode, stderr } = ferrule(['new', '/dev/null/pack'], { cwd: scratch() });
    expect(exitCode).toBe(2);
    expect(stderr.trimEnd().split('\n')).toHaveLength(1);
  });
});
