import {
  chmodSync,
  cpSync,
  existsSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { ferrule, type Ran } from './ferrule.ts';
import { jobFileIn } from './scratch.ts';

const isWindows = process.platform === 'win32';
const pack = 'shelf/gap/1.0.0';
let home = '';
const run = (...words: readonly string[]): Ran => ferrule(words, { cwd: home });
const at = (path: string): string => join(home, path);
/** What key show says of a file, asked once: each call is a process of its own. */
const ids = new Map<string, string>();
function idOf(file: string): string {
  const id = ids.get(file) ?? run('key', 'show', file).stdout.trim();
  expect(id).toMatch(/^[\w:+/=-]{10,}$/);
  ids.set(file, id);
  return id;
}

/** The small pack again, as new wrote it, and unsigned; or signed by lead and approved by foreman. */
function fresh(as: 'unsigned' | 'approved' = 'unsigned'): void {
  rmSync(at('shelf'), { recursive: true, force: true });
  cpSync(at('origin'), at(pack), { recursive: true });
  if (as === 'unsigned') return;
  if (!existsSync(at('approved.json'))) {
    expect(run('release', pack, '--key', 'lead.key').exitCode).toBe(0);
    expect(run('release', pack, '--approve', '--key', 'foreman.key').exitCode).toBe(0);
    cpSync(at(`${pack}/release.json`), at('approved.json'));
  }
  cpSync(at('approved.json'), at(`${pack}/release.json`));
}

const policy = (approver = 'foreman', holder = 'workshop foreman'): string => `format: ferrule-policy-1
keys:
  lead: { holder: service-engineering lead, key: '${idOf('lead.key.pub')}' }
  foreman: { holder: ${holder}, key: '${idOf('foreman.key.pub')}' }
packs:
  gap: { authors: [lead], approvers: [${approver}] }
`;

beforeAll(() => {
  home = mkdtempSync(join(tmpdir(), 'ferrule-'));
  expect(run('new', 'made/gap/1.0.0').exitCode).toBe(0);
  cpSync(at('made/gap/1.0.0'), at('origin'), { recursive: true });
  for (const name of ['lead', 'foreman', 'stranger'])
    expect(run('key', 'new', `${name}.key`).exitCode).toBe(0);
}, 60_000);
afterAll(() => rmSync(home, { recursive: true, force: true }));

describe('key', () => {
  test('new says where the keys are, shows nothing of the private one, and overwrites none', () => {
    const { exitCode, stdout, stderr } = run('key', 'new', 'mine.key');
    expect(exitCode).toBe(0);
    expect(stdout).toContain(idOf('mine.key.pub'));
    const secret = readFileSync(at('mine.key'), 'utf8').split('\n')[1] ?? '';
    expect(stdout + stderr).not.toContain(secret);
    if (!isWindows) expect(statSync(at('mine.key')).mode & 0o777).toBe(0o600);
    expect(run('key', 'new', 'mine.key')).toMatchObject({ exitCode: 2 });
    expect(run('key', 'show', 'mine.key').stdout).toBe(run('key', 'show', 'mine.key.pub').stdout);
    expect(JSON.parse(run('key', 'show', 'mine.key', '--format', 'json').stdout)).toMatchObject({
      id: idOf('mine.key'),
      pem: readFileSync(at('mine.key.pub'), 'utf8'),
    });
  });

  test.skipIf(isWindows)(
    'a key that others may read is refused, with what to type, wherever it is named',
    () => {
      fresh();
      chmodSync(at('stranger.key'), 0o644);
      for (const words of [
        ['release', pack, '--key', 'stranger.key'],
        ['key', 'show', 'stranger.key'],
      ]) {
        const { exitCode, stderr } = run(...words);
        expect(exitCode).toBe(2);
        expect(stderr).toContain('Type: chmod 600 stranger.key');
      }
      expect(existsSync(at(`${pack}/release.json`))).toBe(false);
      chmodSync(at('stranger.key'), 0o600);
    },
  );

  test('a key inside a pack is refused', () => {
    fresh();
    cpSync(at('lead.key'), at(`${pack}/lead.key`));
    const { exitCode, stderr } = run('release', pack, '--key', `${pack}/lead.key`);
    expect(exitCode).toBe(2);
    expect(stderr).toContain('is a pack, which is handed on to others');
    const other = run('release', pack, '--key', 'lead.key');
    expect(other.exitCode).toBe(1);
    expect(other.stdout).toContain(`${pack}/lead.key:1:1 error private-key`);
    expect(run('key', 'new', `${pack}/new.key`).exitCode).toBe(2);
  });
});

describe('a release', () => {
  test('goes from unsigned over signed to approved, and every verb says which', () => {
    fresh();
    const job = ['--procedure', 'set-gap', '--variant', 'first-engine'];
    const says = (words: string): void => {
      const flat = (text: string): string => text.replace(/\s+/g, ' ');
      expect(flat(run('check', pack).stdout)).toContain(`Release: ${words}.`);
      expect(flat(run('run', pack, ...job).stdout)).toContain(`Release ${words} `);
      expect(run('catalogue', 'shelf').stdout).toContain(`Release: ${words}.`);
      const sheet = run('sheet', pack, ...job).stdout;
      expect(sheet.split(`<b>${words}</b>`).length - 1, 'heading and foot').toBe(2);
      expect(JSON.parse(run('check', pack, '--format', 'json').stdout).packs[0].release).toBe(words);
    };
    says('unsigned');
    expect(run('verify', pack)).toMatchObject({
      exitCode: 1,
      stdout: expect.stringContaining('Nobody has signed it'),
    });
    expect(run('release', pack, '--approve', '--key', 'foreman.key')).toMatchObject({ exitCode: 1 });

    writeFileSync(at('shelf/policy.yaml'), policy());
    expect(run('release', pack, '--key', 'foreman.key').stderr).toContain('does not let foreman release gap');
    expect(run('release', pack, '--key', 'stranger.key').stderr).toContain('does not know this key');
    expect(run('release', pack, '--key', 'lead.key')).toMatchObject({ exitCode: 0 });
    says(
      'signed by lead (service-engineering lead), not approved under a policy (The policy wants the approval of foreman)',
    );
    expect(run('check', pack)).toMatchObject({
      exitCode: 0,
      stdout: expect.stringContaining('warning release-outside-policy'),
    });
    expect(run('verify', pack).exitCode).toBe(1);
    expect(run('release', pack, '--key', 'lead.key').stderr).toContain('is released already');
    expect(run('release', pack, '--approve', '--key', 'lead.key').stderr).toContain(
      'nobody approves their own work',
    );
    expect(run('release', pack, '--approve', '--key', 'stranger.key').exitCode).toBe(1);
    expect(run('release', pack, '--approve', '--key', 'foreman.key')).toMatchObject({ exitCode: 0 });
    says('signed by lead (service-engineering lead), approved by foreman (workshop foreman)');
    expect(run('verify', pack)).toMatchObject({
      exitCode: 0,
      stdout: expect.stringContaining('It is as it was signed'),
    });
  }, 120_000);

  test('is held against keys, digests and other policies', () => {
    fresh('approved');
    const [lead, stranger] = [idOf('lead.key.pub'), idOf('stranger.key.pub')];
    expect(run('verify', pack).exitCode).toBe(0);
    expect(run('verify', pack, '--key', 'lead.key.pub', '--key', 'foreman.key.pub').exitCode).toBe(0);
    expect(run('verify', pack, '--key', lead).exitCode).toBe(0);
    expect(run('verify', pack, '--key', stranger)).toMatchObject({
      exitCode: 1,
      stdout: expect.stringContaining('none of the keys that were named'),
    });
    expect(run('verify', pack, '--key', 'lead.key')).toMatchObject({ exitCode: 2 });
    const { digest } = JSON.parse(run('verify', pack, '--format', 'json').stdout);
    expect(run('verify', pack, '--expect', digest).exitCode).toBe(0);
    expect(
      run(
        'verify',
        pack,
        '--expect',
        digest.replace(/.$/, (end: string) => (end === '0' ? '1' : '0')),
      ).exitCode,
    ).toBe(1);
    expect(run('verify', pack, '--expect', 'sha256:1').exitCode).toBe(2);
    writeFileSync(at('own.yaml'), policy('foreman', 'Service-Engineering  Lead'));
    const refused = run('verify', pack, '--policy', 'own.yaml');
    expect(refused.exitCode).toBe(1);
    expect(refused.stderr).toContain('own.yaml:6:');
    expect(run('verify', pack, '--policy', 'there-is-none.yaml').exitCode).toBe(2);
    writeFileSync(at('own.yaml'), policy('foreman', 'workshop foreman').replace('  gap:', '  other:'));
    expect(run('check', pack, '--policy', 'own.yaml')).toMatchObject({
      exitCode: 1,
      stdout: expect.stringContaining('error release-outside-policy'),
    });
  }, 60_000);

  test('that was edited is refused by every verb, with the file', () => {
    fresh();
    run('release', pack, '--key', 'lead.key');
    const file = `${pack}/procedures/set-gap.yaml`;
    writeFileSync(at(file), `${readFileSync(at(file), 'utf8')}# later\n`);
    const job = ['--procedure', 'set-gap', '--variant', 'first-engine'];
    for (const words of [
      ['check', pack],
      ['verify', pack],
      ['run', pack, ...job],
      ['sheet', pack, ...job],
    ])
      expect(run(...words)).toMatchObject({
        exitCode: 1,
        stdout: expect.stringContaining(`${file}:1:1 error released-file-changed`),
      });
    expect(run('release', pack, '--approve', '--key', 'foreman.key').exitCode).toBe(1);
    expect(run('catalogue', 'shelf').exitCode).toBe(1);
    rmSync(at(`${pack}/release.json`));
    expect(run('check', pack).stdout).toContain('Release: unsigned.');
  }, 60_000);

  test('twice with the same key and time gives the same bytes', () => {
    const once = (): string => {
      fresh();
      const time = '2026-03-02T09:00:00Z';
      expect(run('release', pack, '--key', 'lead.key', '--at', time).exitCode).toBe(0);
      expect(run('release', pack, '--approve', '--key', 'foreman.key').exitCode).toBe(0);
      return readFileSync(at(`${pack}/release.json`), 'utf8');
    };
    expect(once()).toBe(once());
    fresh();
    expect(run('release', pack, '--key', 'lead.key', '--at', 'yesterday').exitCode).toBe(2);
  }, 60_000);

  test('of what has errors is not made', () => {
    fresh();
    const file = at(`${pack}/procedures/set-gap.yaml`);
    writeFileSync(file, readFileSync(file, 'utf8').replace(/^title:.*$/m, ''));
    const { exitCode, stdout } = run('release', pack, '--key', 'lead.key');
    expect(exitCode).toBe(1);
    expect(stdout).toContain('error missing-key');
    expect(stdout).toContain('Nothing is signed');
    expect(existsSync(at(`${pack}/release.json`))).toBe(false);
    expect(run('release', 'shelf', '--key', 'lead.key').exitCode).toBe(2);
  });
});

test('a job keeps how its pack was released when it began', () => {
  fresh('approved');
  writeFileSync(at('shelf/policy.yaml'), policy());
  writeFileSync(
    at('answers.yaml'),
    'persons: { technician: technician A, lead: lead C }\ninstruments: { dial-gauge: { identity: DG-1, due: 2099-12-31 } }\nreadings: { gap: [1.12 mm, 1.25 mm] }\n',
  );
  const words = ['run', pack, '--procedure', 'set-gap', '--variant', 'first-engine', '--jobs', 'kept'];
  ferrule([...words, '--answers', 'answers.yaml'], { cwd: home });
  const [first = '{}'] = readFileSync(jobFileIn(at('kept')), 'utf8').split('\n');
  expect(JSON.parse(first).release).toEqual({
    signedBy: ['lead (service-engineering lead)', 'foreman (workshop foreman)'],
    approved: true,
  });
}, 60_000);
