import { describe, expect, it } from 'vitest';
import { ferrule } from './ferrule.ts';
import { copyOfPack } from './scratch.ts';

const pumps = 'specs/marram-unit-pumps/1.0.0';

describe('crank', () => {
  it('shows firing angles, followers and the rotation plan', () => {
    const { exitCode, stdout } = ferrule(['crank', pumps, '--variant', 'marram-five']);
    expect(stdout).toContain('Demonstration data.');
    // Firing intervals of an even five-cylinder four-stroke: 720° / 5, computed.
    expect(stdout).toMatch(/^cylinder +1 +2 +4 +5 +3$/m);
    expect(stdout).toMatch(/^fires at +0° +144° +288° +432° +576°$/m);
    // From TDC 1 on exhaust: 540°, then 5, 4, 3; 360°, then 2 and 1: common practice, no published source.
    expect(stdout).toMatch(
      /^1 +540° +180° +5, 4, 3 +\d+° +the turning tool locked at the\n +half-turn mark$/m,
    );
    expect(stdout).toMatch(/^2 +360° +540° +2, 1 +\d+° /m);
    expect(stdout).toMatch(/^Turned in all 900°\. Least margin \d+°; the crank may stand 8° off a stop\.$/m);
    expect(exitCode).toBe(0);
  });

  it('says on which side of the change each follower stands, in degrees', () => {
    const { stdout } = ferrule(['crank', pumps, '--variant', 'marram-four', '--format', 'json']);
    const { stops, rotation } = JSON.parse(stdout);
    // Off its base from 70° before to 250° after firing TDC; bore 3 fires at 180°, so at 0° it is 110° before: computed.
    expect(stops[0]).toMatchObject({
      at: '0°',
      followers: [
        { bore: 1, position: 'on-lobe', margin: '70°' },
        { bore: 2, position: 'on-lobe', margin: '70°' },
        { bore: 3, position: 'on-base-circle', margin: '110°' },
        { bore: 4, position: 'on-base-circle', margin: '110°' },
      ],
    });
    expect(rotation).toMatchObject({ total: '720°', leastMargin: '110°' });
  });

  it('has a clear word for an engine without crank data', () => {
    const data = / {4}(?:firing-order|running-direction|off-base|marks|rotation):.*\n(?: {6,}.*\n)*/;
    const pack = copyOfPack('valve-clearance/1.0.0', ['pack.yaml', data, '']);
    const { exitCode, stderr } = ferrule(['crank', pack, '--variant', 'marram-four']);
    expect(stderr).toMatch(/^ferrule: marram-four has no crank data: /);
    expect(exitCode).toBe(2);
  });

  it('does not plan what cannot be stopped', () => {
    const pack = copyOfPack('valve-clearance/1.0.0', ['pack.yaml', 'before: -130°', 'before: -5°']);
    const { exitCode, stdout } = ferrule(['crank', pack, '--variant', 'marram-four']);
    expect(stdout).toMatch(
      /^\S+\/pack\.yaml:\d+:\d+ error no-rotation-plan Bore 1 has only 5° to its lift at 0°, and the crank may stand 10° off/,
    );
    expect(exitCode).toBe(1);
  });
});
