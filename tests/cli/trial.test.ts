import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ferrule } from './ferrule.ts';
import { copyOfPack } from './scratch.ts';

const clearance = 'specs/valve-clearance/1.0.0';

describe('trial', () => {
  it('runs every trial and counts', () => {
    const { exitCode, stdout } = ferrule(['trial', clearance]);
    const passes = stdout.match(/^pass {2}/gm)?.length ?? 0;
    expect(passes).toBeGreaterThan(4);
    expect(stdout).toMatch(new RegExp(`^${passes} passed, 0 failed$`, 'm'));
    expect(exitCode).toBe(0);
  });
  it('runs one by its name', () => {
    const { exitCode, stdout } = ferrule(['trial', clearance, '--only', 'all-inside']);
    expect(stdout).toBe(
      `pass  all-inside (marram-four)
NOTICE  Demonstration data.
1 passed, 0 failed
Ferrule never says that a job is safe. The engine maker's instructions, local
codes and qualified people come first.
`,
    );
    expect(exitCode).toBe(0);
  });
  it('says of a failed one what was expected and what was found', () => {
    const pack = copyOfPack('valve-clearance/1.0.0', [
      'pack.yaml',
      'inlet-high: 0.30 mm',
      'inlet-high: 0.26 mm',
    ]);
    const { exitCode, stdout } = ferrule(['trial', pack]);
    expect(stdout).toMatch(/^FAIL {2}one-tight-one-wide \(marram-four\)$/m);
    expect(stdout).toMatch(/^ {6}- \S.*expected .*found /m);
    expect(stdout).toMatch(/^\d+ passed, [1-9]\d* failed$/m);
    expect(exitCode).toBe(1);
  });
  it('gives the same as JSON', () => {
    const { exitCode, stdout } = ferrule(['trial', clearance, '--only', 'all-inside', '--format', 'json']);
    expect(JSON.parse(stdout)).toMatchObject({
      packs: [{ folder: clearance, trials: [{ trial: 'all-inside', passed: true, failures: [] }] }],
      passed: 1,
      failed: 0,
    });
    expect(exitCode).toBe(0);
  });
  it('says what the trials reach, for each variant', () => {
    const { stdout, exitCode } = ferrule(['trial', clearance]);
    expect(stdout).toMatch(/^reached +steps +branches +outcomes /m);
    expect(stdout).toMatch(/^marram-four +(\d+) of \1 /m);
    expect(stdout).toContain('set-clearances: trials reach everything that can be reached in some variant.');
    expect(exitCode).toBe(0);
  });
  it('names what none reaches by its place, and the exit code does not speak of it', () => {
    const pack = copyOfPack(
      'valve-clearance/1.0.0',
      ['trials/trials.yaml', 'inlet-clearance@2: 0.20 mm', 'inlet-clearance@2: [0.20 mm, 0.25 mm]'],
      [
        'trials/trials.yaml',
        /outcome: held\n {6}hold: clearance-stays-outside\n {6}reworks: '3'\n {6}verdicts:\n.*/,
        'outcome: closed',
      ],
    );
    const { exitCode, stdout } = ferrule(['trial', pack, '--unreached']);
    expect(stdout.replace(/\s+/g, ' ')).toMatch(
      /procedures\/set-clearances\.yaml:\d+:\d+ no trial uses up the 4 attempts of measure-inlet/,
    );
    expect(exitCode).toBe(0);
    const { packs } = JSON.parse(ferrule(['trial', pack, '--format', 'json']).stdout);
    const unreached = packs[0].coverage[0].items.filter(
      (one: { standing: string }) => one.standing === 'unreached',
    );
    expect(unreached).toMatchObject([
      {
        what: 'exhausted',
        place: { file: 'procedures/set-clearances.yaml' },
        variants: [{ trials: [], reachable: true }],
      },
    ]);
  });
  it('drafts what is missing into a new file, and never over one that is there', () => {
    const pack = copyOfPack('valve-clearance/1.0.0');
    rmSync(join(pack, 'trials/trials.yaml'));
    writeFileSync(join(pack, 'trials/drafts.yaml'), 'trials: []\n');
    const { exitCode, stdout } = ferrule(['trial', pack, '--write-missing']);
    expect(stdout.replace(/\s+/g, ' ')).toMatch(
      /Drafts of \d+ trials written to \S+trials\/drafts-2\.yaml\..* look them over/,
    );
    expect(exitCode).toBe(0);
    expect(readFileSync(join(pack, 'trials/drafts.yaml'), 'utf8')).toBe('trials: []\n');
    expect(readFileSync(join(pack, 'trials/drafts-2.yaml'), 'utf8')).toContain('[0.31 mm, 0.30 mm]');
    const again = ferrule(['trial', pack]);
    expect(again.stdout).toMatch(/^\d+ passed, 0 failed$/m);
    expect(again.stdout).toContain('trials reach everything that can be reached in some variant.');
  });
  it('takes --only without what is about all trials', () => {
    const { exitCode, stderr } = ferrule(['trial', clearance, '--only', 'all-inside', '--unreached']);
    expect(stderr).toContain('leave --only out');
    expect(exitCode).toBe(2);
  });
});
