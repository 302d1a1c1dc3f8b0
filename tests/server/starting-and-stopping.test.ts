import { chmodSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { request } from 'node:http';
import { join } from 'node:path';
import { folderStore } from '@ferrule/records';
import { expect, test } from 'vitest';
import { beginning } from '../../packages/server/test/beginning.ts';
import { ferrule } from '../cli/ferrule.ts';
import { scratch } from '../cli/scratch.ts';
import { get, post, served } from './served.ts';

const isWindows = process.platform === 'win32';
const token = 'Zk3v-8Qd0r_1xYb7LmN5tGh2PwEj9sUa';
const flat = (text: string): string => text.replace(/\s+/g, ' ');

/** What the command says that does not come as far as serving. */
function refused(...words: readonly string[]): string {
  const jobs = join(scratch(), 'jobs');
  const ran = ferrule(['serve', '--packs', 'specs', '--jobs', jobs, '--port', '0', ...words]);
  expect(ran).toMatchObject({ exitCode: 2, stdout: '' });
  expect(ran.stderr).not.toMatch(/\n {4}at /);
  return flat(ran.stderr);
}

interface Streamed {
  readonly ended: Promise<{ readonly text: string; readonly isWhole: boolean }>;
}

/** Opens a stream; answers what it sends, and whether it came to the end that HTTP marks. */
const streamOf = (url: string): Promise<Streamed> =>
  new Promise((opened, fail) => {
    const asked = request(url, (answer) => {
      let text = '';
      const ended = new Promise<{ text: string; isWhole: boolean }>((done) => {
        answer.setEncoding('utf8').on('data', (piece: string) => {
          text += piece;
        });
        answer.on('error', () => undefined);
        answer.on('close', () => done({ text, isWhole: answer.complete }));
      });
      opened({ ended });
    });
    asked.on('error', fail);
    asked.end();
  });

test('while streams are open, SIGTERM ends them and the server, and what was confirmed is there', async () => {
  const jobs = join(scratch(), 'jobs');
  const { url, child, ended } = await served(jobs);
  const begun = await post(`${url}/jobs`, { ...beginning, id: 'begin-0001' });
  const job = String(begun.json['job']);
  const streams = await Promise.all([1, 2, 3].map(() => streamOf(`${url}/jobs/${job}/stream`)));
  const command = { command: 'note', text: 'The last one.' };
  const given = await post(`${url}/jobs/${job}/commands`, {
    ...{ id: 'note-00001', expectedSeq: 1, by: 'technician A', command },
  });
  expect(given.status).toBe(200);
  child.kill('SIGTERM');
  for (const { text, isWhole } of await Promise.all(streams.map((stream) => stream.ended))) {
    // Brought to its end, and not cut off by the server running out of patience.
    expect(isWhole).toBe(true);
    expect(text).toMatch(/^retry: 2000\nevent: job\n/);
    expect(text).toMatch(/id: 2\nevent: fact\ndata: .*The last one\.".*\n\n$/);
    expect(text).not.toContain('event: closed');
  }
  const { how, said } = await ended;
  expect(how, said).toBe(0);
  expect(said).toContain('Stopped. Everything that was confirmed is in the store.');
  expect(folderStore(jobs).read(job).facts).toHaveLength(2);
});

test('a port that is in use is told, and the server that has it goes on', async () => {
  const jobs = join(scratch(), 'jobs');
  const { url, child } = await served(jobs);
  const { port } = new URL(url);
  const ran = ferrule(['serve', '--packs', 'specs', '--jobs', jobs, '--port', port]);
  expect(ran).toMatchObject({ exitCode: 2, stdout: '' });
  expect(flat(ran.stderr)).toBe(
    `ferrule: Something else listens at port ${port} of 127.0.0.1. Name another one with --port. `,
  );
  expect((await get(`${url}/jobs`)).status).toBe(200);
  child.kill('SIGKILL');
});

test.skipIf(isWindows)(
  'a token or a key that others may read is not taken, and nothing of it is said',
  () => {
    const folder = scratch();
    const file = join(folder, 'token');
    writeFileSync(file, `${token}\n`, { mode: 0o600 });
    for (const mode of [0o644, 0o640, 0o604, 0o620]) {
      chmodSync(file, mode);
      const said = refused('--token-file', file);
      expect(said).toContain(`is not taken: others than its owner may read it. Type: chmod 600 `);
      expect(said).not.toContain(token);
    }
    chmodSync(file, 0o600);
    writeFileSync(file, 'short\n');
    expect(refused('--token-file', file)).toContain('holds no token');
    expect(refused('--token-file', join(folder, 'none'))).toContain('cannot be read (ENOENT)');
    const key = join(folder, 'server.key');
    expect(ferrule(['key', 'new', key]).exitCode).toBe(0);
    const secret = readFileSync(key, 'utf8').split('\n')[1] ?? '';
    chmodSync(key, 0o640);
    const said = refused('--key', key);
    expect(said).toContain(
      'is not taken as a key: others than its owner have rights to it (mode 0640). Type: chmod 600',
    );
    expect(said).not.toContain(secret);
    expect(refused('--key', `${key}.pub`)).toContain('it is a public key, and only the private one signs');
    expect(refused('--key', join(folder, 'none'))).toContain('cannot be read (ENOENT)');
  },
);

test('a policy with a fault is said with its place, and nothing is served by it', () => {
  const file = join(scratch(), 'policy.yaml');
  writeFileSync(file, 'format: ferrule-policy-1\nkeys: {}\npacks: {}\nallow: all\n');
  const said = refused('--policy', file);
  expect(said).toContain('policy.yaml:4:1 The key allow is not known here.');
  expect(refused('--policy', join(scratch(), 'none.yaml'))).toContain('cannot be read (ENOENT)');
});

test('with a token, a key and a policy it says what they are for, asks for the one, and signs with the other', async () => {
  const folder = scratch();
  const [file, key, policy] = ['token', 'server.key', 'policy.yaml'].map((name) => join(folder, name));
  if (file === undefined || key === undefined || policy === undefined) throw new Error('there are three');
  writeFileSync(file, `${token}\n`, { mode: 0o600 });
  expect(ferrule(['key', 'new', key]).exitCode).toBe(0);
  const id = ferrule(['key', 'show', key]).stdout.trim();
  writeFileSync(
    policy,
    `format: ferrule-policy-1\nkeys:\n  server: { holder: the server, key: '${id}' }\npacks: {}\njobs: [server]\n`,
  );
  const jobs = join(folder, 'jobs');
  const { url, child, ended } = await served(jobs, '--token-file', file, '--key', key, '--policy', policy);
  expect((await get(`${url}/jobs`)).json['code']).toBe('no-token');
  const headers = { authorization: `Bearer ${token}`, 'content-type': 'application/json' };
  const send = async (path: string, body: unknown): Promise<Readonly<Record<string, unknown>>> => {
    const answer = await fetch(url + path, { method: 'POST', headers, body: JSON.stringify(body) });
    return Object(await answer.json());
  };
  const { job } = await send('/jobs', { ...beginning, id: 'begin-0001' });
  const closed = await send(`/jobs/${String(job)}/commands`, {
    ...{ id: 'abandon-01', expectedSeq: 1, by: 'technician A' },
    command: { command: 'abandon', reason: 'Another engine first.' },
  });
  expect(closed['signature']).toMatchObject({ state: 'signed' });
  child.kill('SIGTERM');
  const { how, said } = await ended;
  expect(how).toBe(0);
  expect(flat(said)).toMatch(
    /Jobs that are closed here are signed with the key ed25519:\S+, which is that of this server\./,
  );
  expect(flat(said)).toContain(`Releases are held against the policy ${policy}.`);
  expect(said).not.toContain(token);
  // The terminal takes it by the same policy.
  const verified = ferrule(['verify', `${jobs}/${String(job)}`, '--policy', policy]);
  expect(verified.exitCode, verified.stdout + verified.stderr).toBe(0);
  expect(existsSync(join(jobs, `${String(job)}.signature.json`))).toBe(true);
});

test('a key that the policy does not name under jobs is said to be that', async () => {
  const folder = scratch();
  const key = join(folder, 'server.key');
  expect(ferrule(['key', 'new', key]).exitCode).toBe(0);
  const policy = join(folder, 'policy.yaml');
  writeFileSync(policy, 'format: ferrule-policy-1\nkeys: {}\npacks: {}\n');
  const { child, ended } = await served(join(folder, 'jobs'), '--key', key, '--policy', policy);
  child.kill('SIGTERM');
  expect(flat((await ended).said)).toContain('does not name this key under jobs');
});
