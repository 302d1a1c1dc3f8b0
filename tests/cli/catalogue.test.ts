import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { libraries, overlays, packs } from '../packs/copy-pack.ts';
import { ferrule, root } from './ferrule.ts';
import { copyOfPack, scratch } from './scratch.ts';

interface Listed {
  readonly packs: readonly {
    readonly pack: string;
    readonly revision: string;
    readonly jobs: readonly { readonly procedure: string; readonly steps: readonly [number, number] }[];
  }[];
  readonly libraries: readonly { readonly library: string; readonly usedBy: readonly string[] }[];
  readonly overlays: readonly { readonly overlay: string; readonly over: string }[];
  readonly unreadable: readonly { readonly folder: string; readonly faults: number }[];
}

describe('catalogue', () => {
  it('stands in the documentation as the packs are now', () => {
    const { exitCode, stdout } = ferrule(['catalogue', 'specs']);
    // `npm run generate` writes it anew.
    expect(readFileSync(join(root, 'docs/catalogue.md'), 'utf8')).toBe(stdout);
    expect(stdout).toContain('Demonstration data.');
    expect(stdout).toContain('Ferrule never says that a job is safe.');
    expect(exitCode).toBe(0);
  });

  it('lists every pack, library and overlay of a folder', () => {
    const { stdout } = ferrule(['catalogue', 'specs', '--format', 'json']);
    const listed: Listed = JSON.parse(stdout);
    expect(listed.unreadable).toEqual([]);
    expect(listed.packs.map((one) => `${one.pack}/${one.revision}`).sort()).toEqual([...packs].sort());
    expect(listed.libraries.length).toBe(libraries.length);
    expect(listed.overlays.length).toBe(overlays.length);
    expect(listed.overlays.find((one) => one.overlay === 'east-station')?.over).toBe(
      'marram-unit-pumps 1.0.0',
    );
    const workshop = listed.libraries.find((one) => one.library === 'harbour-workshop');
    expect(workshop?.usedBy).toContain('marram-inline-timing 1.0.0');
    // A procedure that others perform is no job.
    const timing = listed.packs.find((one) => one.pack === 'marram-inline-timing');
    expect(timing?.jobs.map((one) => one.procedure)).toEqual(['time-by-shims', 'time-by-turning']);
    for (const { jobs } of listed.packs)
      for (const { steps } of jobs) {
        expect(steps[0]).toBeGreaterThan(0);
        expect(steps[1]).toBeGreaterThanOrEqual(steps[0]);
      }
  });

  it('names a pack that cannot be read, lists the others, and fails', () => {
    const folder = copyOfPack('valve-clearance/1.0.0', ['pack.yaml', 'revision: 1.0.0', 'revision: 1']);
    const { exitCode, stdout } = ferrule(['catalogue', folder, 'specs/marram-inline-timing']);
    expect(exitCode).toBe(1);
    expect(stdout).toContain('## Not readable');
    expect(stdout).toContain(`\`ferrule check ${folder}\` says more.`);
    expect(stdout).toContain('### Time the in-line pump');
  });

  it('shows signs of Markdown in a title as they are', () => {
    const folder = copyOfPack('valve-clearance/1.0.0', [
      'pack.yaml',
      /\btitle: Valve clearance .*/,
      'title: "Valves | <b>now</b> [x](y)"',
    ]);
    const { stdout } = ferrule(['catalogue', folder]);
    expect(stdout).toContain('## Valves \\| \\<b\\>now\\</b\\> \\[x\\](y), 1.0.0');
  });

  it('says which folder is none, and which holds no pack', () => {
    const none = ferrule(['catalogue', 'specs/nowhere']);
    expect([none.exitCode, none.stdout]).toEqual([2, '']);
    expect(none.stderr).toMatch(/^ferrule: there is no folder specs\/nowhere\. Name folders that hold packs/);
    const empty = scratch();
    mkdirSync(join(empty, 'a'));
    writeFileSync(join(empty, 'a/readme.txt'), 'x');
    const { exitCode, stderr } = ferrule(['catalogue', empty]);
    expect(exitCode).toBe(2);
    expect(stderr).toContain('holds no pack');
  });
});
