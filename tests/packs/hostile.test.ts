import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { checkPack } from '@ferrule/check';
import { afterEach, beforeAll, describe, expect, it } from 'vitest';
import { ferrule, root } from '../cli/ferrule.ts';
import { choicesWithoutEnd, type HostilePack, hostilePacks } from './hostile-packs.ts';

/** What a check may take: 2 s on a quiet machine. This one may be slower, and have other work. */
const MOST_SECONDS = 8;
const MOST_MEGABYTES = 500;

/**
 * Has the process say at its end, on a pipe of its own, what it took. The largest memory is that of the process itself:
 * on Linux `maxRSS` begins with what the process that started it had, which is this one with all its tests.
 */
const measuring = `data:text/javascript,${encodeURIComponent(`
  import { readFileSync, writeSync } from 'node:fs';
  process.on('exit', () => {
    const { userCPUTime, systemCPUTime, maxRSS } = process.resourceUsage();
    let kilobytes = maxRSS;
    try {
      kilobytes = Number(/^VmHWM:\\s*(\\d+) kB$/m.exec(readFileSync('/proc/self/status', 'utf8'))[1]);
    } catch {}
    writeSync(3, JSON.stringify({ seconds: (userCPUTime + systemCPUTime) / 1e6, megabytes: kilobytes / 1024 }));
  });`)}`;

const folders: string[] = [];
afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});

function written(files: ReturnType<HostilePack['files']>): string {
  const folder = mkdtempSync(join(tmpdir(), 'ferrule-hostile-'));
  folders.push(folder);
  for (const [file, contents] of Object.entries(files)) {
    const path = join(folder, file);
    mkdirSync(dirname(path), { recursive: true });
    if (typeof contents === 'object' && 'linkTo' in contents) symlinkSync(contents.linkTo, path);
    else writeFileSync(path, contents);
  }
  return folder;
}

function run(verb: string, folder: string) {
  const command = join(root, 'packages/cli/dist/ferrule.js');
  const { status, stdout, stderr, output } = spawnSync(
    process.execPath,
    ['--import', measuring, command, verb, folder],
    {
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'pipe', 'pipe'],
      timeout: 60_000,
      maxBuffer: 64 * 1024 * 1024,
    },
  );
  return { exitCode: status, stdout, stderr, took: JSON.parse(output[3] || '{}') };
}

// The bundle is made ready by the command itself; what is measured is the bundle.
beforeAll(() => void ferrule(['--version']));

describe('a pack that means harm gets a diagnostic, and takes neither time nor memory', () => {
  it.each(hostilePacks.map((one) => [one.tries, one] as const))('%s', (_, one) => {
    const { exitCode, stdout, stderr, took } = run(one.verb ?? 'check', written(one.files()));
    expect(stderr).toBe('');
    expect(exitCode).toBe(one.exitCode ?? 1);
    expect(stdout).toContain(one.code);
    expect(stdout).not.toMatch(/^\s+at .*:\d+:\d+\)?$|node:internal|RangeError|TypeError/m);
    expect(took.seconds).toBeLessThan(MOST_SECONDS);
    expect(took.megabytes).toBeLessThan(MOST_MEGABYTES);
  });
});

it('what the proof does not come to is said when its time is over', async () => {
  const began = performance.now();
  const report = await checkPack(written(choicesWithoutEnd()), { mostTime: 500 });
  expect(report.diagnostics.map((one) => one.code)).toContain('unfinished-proof');
  expect(report.proofs[0]?.exploration.cutShort).toBe(true);
  expect(performance.now() - began).toBeLessThan(MOST_SECONDS * 1000);
});

it('keys of a pack change no object of the program', async () => {
  const files = {
    'pack.yaml': '__proto__: { polluted: yes }\nconstructor: { prototype: { polluted: yes } }\n',
  };
  await checkPack(written(files));
  expect(Reflect.get({}, 'polluted')).toBeUndefined();
});
