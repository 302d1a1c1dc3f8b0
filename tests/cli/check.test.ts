import { dirname, relative } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ferrule, root } from './ferrule.ts';
import { copyOfPack } from './scratch.ts';

const clearance = 'valve-clearance/1.0.0';
const deferral =
  "Ferrule never says that a job is safe. The engine maker's instructions, local codes and qualified people come first.";

/** A text without its line breaks. */
const flat = (text: string): string => text.replace(/\s+/g, ' ');

describe('check', () => {
  it('proves a pack in order and says what the proof does not reach', () => {
    const { exitCode, stdout } = ferrule(['check', `specs/${clearance}`]);
    expect(flat(stdout)).toMatch(
      /^proof set-clearances for marram-four: nothing refuted; \d+ states of \d+ steps explored /,
    );
    expect(flat(stdout)).toMatch(/valve-clearance 1\.0\.0: 0 errors in \d+ files\./);
    expect(flat(stdout)).toContain('It is no proof of anything else.');
    expect(stdout).toMatch(/^NOTICE {2}Demonstration data\.$/m);
    expect(flat(stdout).trimEnd().endsWith(deferral)).toBe(true);
    for (const line of stdout.split('\n')) expect([...line].length).toBeLessThanOrEqual(80);
    expect(exitCode).toBe(0);
  });

  it('says whether each tolerance can be judged with its instrument', () => {
    const pumps = 'specs/marram-unit-pumps/1.0.0';
    expect(flat(ferrule(['check', `specs/${clearance}`]).stdout)).toContain(
      'gauges both tolerances can be judged with the instruments that are asked for; the lowest index is 4.0, of inlet-limits. --gauges lists them.',
    );
    expect(flat(ferrule(['check', 'specs/marram-timing-shims/1.0.0']).stdout)).toContain(
      'gauges all 4 tolerances, with the limits of every variant, can be judged with',
    );
    const { stdout } = ferrule(['check', pumps, '--gauges']);
    expect(stdout).toMatch(
      /^drift-limits +0 mm ± 0\.016 mm +fine-dial-indicator +0\.0014 mm +11\.7 {2}easily$/m,
    );
    expect(stdout).toMatch(/^oil-pressure-limit +at least 1\.3 bar .* from 1\.49 bar$/m);
    expect(stdout).toMatch(/^4 more are counted/m);
    const [{ gauges }] = JSON.parse(ferrule(['check', pumps, '--format', 'json']).stdout).packs;
    expect(gauges).toContainEqual({
      tolerance: 'drift-limits',
      title: expect.any(String),
      pointer: '/procedures/install-and-synchronise/tolerances/drift-limits',
      variants: ['marram-three', 'marram-four', 'marram-five'],
      limits: '0 mm ± 0.016 mm',
      instruments: ['fine-dial-indicator'],
      sufficiency: 'comfortable',
      capability: '11.7',
      asked: '4',
      expandedUncertainty: '0.0014 mm',
      coverageFactor: '2',
    });
  });

  it('names place, severity and code of each fault, and the remedy on the next line', () => {
    const pack = copyOfPack(clearance, ['pack.yaml', 'signal: caution', 'signal: cautoin']);
    const { exitCode, stdout } = ferrule(['check', pack]);
    expect(stdout).toMatch(
      /\/pack\.yaml:\d+:\d+ error wrong-value "cautoin" is none of danger, warning, caution, notice\.\n {4}Did you mean caution\?\n/,
    );
    expect(flat(stdout)).toContain('1 error in ');
    expect(flat(stdout)).toContain('Nothing is proved before they are put right.');
    expect(exitCode).toBe(1);
  });

  it('points at the place from where it was called', () => {
    const pack = relative(root, copyOfPack(clearance, ['pack.yaml', 'signal: caution', 'signal: x']));
    expect(ferrule(['check', pack]).stdout).toMatch(new RegExp(`^${pack}/pack\\.yaml:\\d+:\\d+ error `));
  });

  it('tells the way to a broken law as numbered steps, in words', () => {
    const cloths = '    changes: { cloths: [in, out] }\n';
    const pack = copyOfPack(clearance, ['procedures/set-clearances.yaml', cloths, '']);
    const { exitCode, stdout } = ferrule(['check', pack]);
    expect(stdout).toMatch(
      /set-clearances\.yaml:\d+:\d+ error law-broken .*There are cloths in the drain holes\./,
    );
    expect(stdout).toMatch(/^ {4}\S*pack\.yaml:\d+:\d+ where it is laid down$/m);
    expect(stdout).toMatch(/^proof {2}set-clearances for marram-four: refuted /m);
    expect(stdout).toMatch(/^WHAT CAN GO WRONG$/m);
    const said = flat(stdout);
    expect(said).toContain(
      '1. The job can come to "Tighten the screws of the rocker cover from the middle outwards"',
    );
    expect(said).toMatch(
      / \d+\. "Stuff a cloth into each of the drain holes" \[procedures\/set-clearances\.yaml:\d+\]/,
    );
    expect(said).toContain('Cloths in the drain holes: out → in');
    expect(said).toMatch(
      /Cloths in the drain holes is "in" since step \d+; nothing later on this way changes it\. It has to be "out"\./,
    );
    expect(said).toMatch(/A job was run this way as a test \(\d+ facts\): it really comes to this\./);
    expect(exitCode).toBe(1);
  });

  it('tells readings with their limits on the way, and the same unfolded as JSON', () => {
    const locked = '    changes: { inlet-nut: [slack, tight] }\n';
    const pack = copyOfPack(clearance, ['procedures/adjust-inlet.yaml', locked, '']);
    const said = flat(ferrule(['check', pack]).stdout);
    expect(said).toMatch(/\d+–\d+\. what is confirmed before the work/);
    expect(said).toMatch(
      /reads 0\.31 mm limits 0\.25 mm to 0\.30 mm: too high by 0\.01 mm the rework begins/,
    );
    const [{ proofs }] = JSON.parse(ferrule(['check', pack, '--format', 'json']).stdout).packs;
    const [{ way, replay }] = proofs[0].refutations;
    expect(replay.replayed).toBe(true);
    expect(replay.facts.length).toBeGreaterThan(way.length);
    expect(way.flatMap((one: { happens: readonly string[] }) => one.happens)).toContain('reads 0.31 mm');
  });

  it('writes SARIF with places from where it was called, and nothing else', () => {
    const pack = relative(root, copyOfPack(clearance, ['pack.yaml', 'signal: caution', 'signal: cautoin']));
    const { exitCode, stdout } = ferrule(['check', `specs/${clearance}`, pack, '--format', 'sarif']);
    expect(exitCode).toBe(1);
    const { version, runs } = JSON.parse(stdout);
    expect(version).toBe('2.1.0');
    expect(runs).toHaveLength(1);
    expect(runs[0].results).toHaveLength(1);
    const [{ ruleId, ruleIndex, locations }] = runs[0].results;
    expect([ruleId, runs[0].tool.driver.rules[ruleIndex].id]).toEqual(['wrong-value', 'wrong-value']);
    const { artifactLocation, region } = locations[0].physicalLocation;
    expect(artifactLocation.uri).toMatch(/^file:\/\/\/.*\/valve-clearance\/1\.0\.0\/pack\.yaml$/);
    expect(region.startLine).toBe(region.endLine);
    expect(region.endColumn - region.startColumn).toBe('cautoin'.length);
  });

  it('writes places in SARIF relative to the folder that it was called in', () => {
    const pack = copyOfPack(clearance, ['pack.yaml', 'signal: caution', 'signal: x']);
    for (const [cwd, folder, uri] of [
      [dirname(pack), '1.0.0', '1.0.0/pack.yaml'],
      [pack, '.', 'pack.yaml'],
    ] as const) {
      const { stdout } = ferrule(['check', folder, '--format', 'sarif'], { cwd });
      const [{ locations }] = JSON.parse(stdout).runs[0].results;
      expect(locations[0].physicalLocation.artifactLocation).toEqual({ uri, uriBaseId: '%SRCROOT%' });
    }
  });

  it('says in SARIF, too, that a folder is none', () => {
    const { exitCode, stdout, stderr } = ferrule(['check', 'nowhere', '--format', 'sarif']);
    expect(exitCode).toBe(2);
    expect(stderr).toMatch(/^ferrule: nowhere: /);
    expect(JSON.parse(stdout).runs[0].invocations).toEqual([{ executionSuccessful: false }]);
  });

  it('gives the same as JSON', () => {
    const { exitCode, stdout } = ferrule(['check', `specs/${clearance}`, '--format', 'json']);
    expect(exitCode).toBe(0);
    expect(JSON.parse(stdout)).toMatchObject({
      packs: [
        {
          pack: 'valve-clearance',
          revision: '1.0.0',
          digest: expect.stringMatching(/^sha256:[0-9a-f]{64}$/),
          diagnostics: [],
          proofs: [{ procedure: 'set-clearances', reachesEnd: true, cutShort: false, refutations: [] }],
        },
      ],
    });
  });
});
