import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { isAtLeast } from '../../packages/cli/node-version.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const command = join('packages', 'cli', 'bin', 'ferrule.js');

describe('the oldest Node', () => {
  it.each([
    ['20.19.0', true],
    ['20.19.4', true],
    ['22.0.0', true],
    ['21.0.0-nightly', true],
    ['20.18.9', false],
    ['20.2.0', false],
    ['18.20.8', false],
  ])('%s: %s', (version, expected) => {
    expect(isAtLeast(version, '20.19.0')).toBe(expected);
  });
});

const ahead = ['run-command.js', 'command-script.js', 'compile-ahead.js'];

describe('an entry that cannot make its checkout ready', () => {
  let folder = '';
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'ferrule-'));
    for (const path of ['package-lock.json', 'package.json', '.npmrc', 'tests/run.js'])
      cpSync(join(root, path), join(folder, path));
    for (const name of [
      'prepare.js',
      'node-version.js',
      'start.js',
      'build.js',
      'build-stamp.js',
      'package.json',
      'bin',
      ...ahead,
    ])
      cpSync(join(root, 'packages/cli', name), join(folder, 'packages/cli', name), { recursive: true });
    mkdirSync(join(folder, 'packages/cli/src'), { recursive: true });
    writeFileSync(join(folder, 'packages/cli/src/main.ts'), '');
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  /** Port 9 discards; nothing listens there, so npm meets a refused connection. */
  const withoutNetwork = (): NodeJS.ProcessEnv => ({
    ...process.env,
    npm_execpath: undefined,
    npm_config_registry: 'http://127.0.0.1:9',
    npm_config_fetch_retries: '0',
    npm_config_cache: join(folder, 'cache'),
    npm_config_update_notifier: 'false',
  });
  const run = (entry: string, env: NodeJS.ProcessEnv) =>
    spawnSync(process.execPath, [join(folder, entry)], { cwd: folder, env, encoding: 'utf8' });

  it.each([['packages/cli/start.js'], ['tests/run.js'], [command]])(
    '%s says in one line that the network is missing',
    (entry) => {
      // The manifests of all workspaces must be there for npm to get as far as the network.
      writeFileSync(
        join(folder, 'package.json'),
        JSON.stringify({ name: 'a', type: 'module', dependencies: { commander: '14.0.3' } }),
      );
      writeFileSync(
        join(folder, 'package-lock.json'),
        JSON.stringify({
          name: 'a',
          lockfileVersion: 3,
          requires: true,
          packages: {
            '': { name: 'a', dependencies: { commander: '14.0.3' } },
            'node_modules/commander': { version: '14.0.3' },
          },
        }),
      );
      const { status, stdout, stderr } = run(entry, withoutNetwork());
      expect(stdout).toBe('');
      expect(stderr.trimEnd().split('\n')).toEqual([
        'ferrule: installing the packages of package-lock.json (npm ci), which can take some minutes',
        expect.stringMatching(
          /^ferrule: npm ci could not reach the package registry \(ECONNREFUSED\)\. Connect /,
        ),
      ]);
      expect(status).toBe(2);
    },
  );

  it('says in one line that npm is missing', () => {
    const { status, stderr } = run(command, { ...withoutNetwork(), PATH: dirname(folder) });
    expect(stderr.trimEnd().split('\n')[1]).toMatch(/^ferrule: npm was not found\. It comes with Node/);
    expect(status).toBe(2);
  });

  it('says in one line that the lock file is missing or damaged', () => {
    const lock = join(folder, 'package-lock.json');
    writeFileSync(lock, '{');
    const damaged = run(command, withoutNetwork());
    expect(damaged.stderr).toMatch(/^ferrule: package-lock\.json is damaged\. Restore it .*\n$/);
    expect(damaged.status).toBe(2);
    rmSync(lock);
    const missing = run(command, withoutNetwork());
    expect(missing.stderr).toMatch(/^ferrule: package-lock\.json is missing\. Restore it .*\n$/);
    expect(missing.status).toBe(2);
  });
});
