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
});
