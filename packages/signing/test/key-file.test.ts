import { execFileSync, spawnSync } from 'node:child_process';
import { generateKeyPairSync } from 'node:crypto';
import {
  chmodSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { inspect } from 'node:util';
import {
  makeKeyFile,
  makeKeyPair,
  PrivateKey,
  parsePrivateKey,
  readPrivateKey,
  readPublicKey,
} from '@ferrule/signing';
import { describe, expect, test } from 'vitest';

const isWindows = process.platform === 'win32';
const hasOpenssl = spawnSync('openssl', ['version']).status === 0;
const scratch = (): string => mkdtempSync(join(tmpdir(), 'ferrule-key-'));

function made(folder = scratch()): { readonly path: string; readonly id: string } {
  const path = join(folder, 'lead.key');
  const file = makeKeyFile(path);
  if ('wrong' in file) throw new Error(file.wrong);
  return { path, id: file.id };
}

function wrongOf(result: object): string {
  if (!('wrong' in result)) throw new Error('nothing was wrong');
  return String(result.wrong);
}

/** A file with a text, which only its owner may read. */
function privateText(text: string, folder = scratch()): string {
  const path = join(folder, 'some.key');
  writeFileSync(path, text, { mode: 0o600 });
  return path;
}

describe('a new key', () => {
  test('is read again, and its public half fits', () => {
    const { path, id } = made();
    const key = readPrivateKey(path);
    const half = readPublicKey(`${path}.pub`);
    expect(key).toMatchObject({ id });
    expect(half).toMatchObject({ id });
    expect(readPublicKey(id)).toMatchObject({ id });
    if (!(key instanceof PrivateKey) || 'wrong' in half) throw new Error('unread');
    expect(half.verifies(Buffer.from('a'), key.sign(Buffer.from('a')))).toBe(true);
    expect(half.verifies(Buffer.from('b'), key.sign(Buffer.from('a')))).toBe(false);
  });

  test('is never the same twice', () => {
    expect(made().id).not.toBe(made().id);
  });

  test('overwrites nothing, neither a key nor a public one', () => {
    const { path } = made();
    const before = readFileSync(path, 'utf8');
    expect(wrongOf(makeKeyFile(path))).toContain('is there already');
    expect(readFileSync(path, 'utf8')).toBe(before);
    const folder = scratch();
    writeFileSync(join(folder, 'lead.key.pub'), 'mine');
    expect(wrongOf(makeKeyFile(join(folder, 'lead.key')))).toContain('lead.key.pub is there already');
    expect(readdirSync(folder)).toEqual(['lead.key.pub']);
  });

  test('that cannot be written leaves nothing behind', () => {
    expect(wrongOf(makeKeyFile(join(scratch(), 'none', 'lead.key')))).toContain('cannot be written (ENOENT)');
  });

  test.skipIf(isWindows)('can be read by its owner alone', () => {
    expect(statSync(made().path).mode & 0o777).toBe(0o600);
  });

  test.skipIf(!hasOpenssl)('is read by another program as what it is', () => {
    const { path, id } = made();
    const read = execFileSync('openssl', ['pkey', '-in', path, '-pubout', '-outform', 'DER']);
    expect(`ed25519:${read.subarray(-32).toString('hex')}`).toBe(id);
  });
});

describe.skipIf(isWindows)('who may read a private key', () => {
  test.each([0o640, 0o604, 0o644, 0o660, 0o620, 0o601, 0o777])(
    'mode %o is refused, with what to type',
    (mode) => {
      const { path } = made();
      chmodSync(path, mode);
      const wrong = wrongOf(readPrivateKey(path));
      expect(wrong).toContain(`(mode 0${mode.toString(8)})`);
      expect(wrong).toContain(`Type: chmod 600 ${path}`);
      chmodSync(path, 0o600);
      expect(readPrivateKey(path)).toBeInstanceOf(PrivateKey);
    },
  );

  test('mode 400 is enough', () => {
    const { path } = made();
    chmodSync(path, 0o400);
    expect(readPrivateKey(path)).toBeInstanceOf(PrivateKey);
  });

  test('what is to be typed can be typed for any name', () => {
    const path = join(scratch(), "lead's key");
    writeFileSync(path, makeKeyPair().privateKey, { mode: 0o644 });
    const [, command = ''] = /Type: (.*)$/.exec(wrongOf(readPrivateKey(path))) ?? [];
    execFileSync('sh', ['-c', command]);
    expect(readPrivateKey(path)).toBeInstanceOf(PrivateKey);
  });
});

describe('where a private key may not lie', () => {
  test.each([
    ['pack.yaml', 'a pack'],
    ['library.yaml', 'a library'],
    ['overlay.yaml', 'an overlay'],
  ])('beside or below %s', (manifest, what) => {
    const folder = scratch();
    const below = join(folder, 'keys', 'mine');
    mkdirSync(below, { recursive: true });
    const paths = [folder, below].map((one) => privateText(makeKeyPair().privateKey, one));
    for (const path of paths) expect(readPrivateKey(path)).toBeInstanceOf(PrivateKey);
    writeFileSync(join(folder, manifest), '');
    for (const path of paths)
      expect(wrongOf(readPrivateKey(path))).toContain(`is ${what}, which is handed on to others`);
    expect(wrongOf(makeKeyFile(join(folder, 'lead.key')))).toContain(`is ${what}`);
    expect(readdirSync(folder).sort()).toEqual(['keys', manifest, 'some.key'].sort());
  });

  test('in a store of jobs', () => {
    const folder = scratch();
    const path = privateText(makeKeyPair().privateKey, folder);
    writeFileSync(join(folder, 'notes.jsonl'), '{"a":1}\n');
    expect(readPrivateKey(path)).toBeInstanceOf(PrivateKey);
    writeFileSync(join(folder, '2026-03-02-set-clearances-4f21.jsonl'), '{"format":"ferrule-job-1"}\n');
    expect(wrongOf(readPrivateKey(path))).toContain('is a store of jobs');
  });

  test.skipIf(isWindows)('nor by a link, from either side', () => {
    const pack = scratch();
    writeFileSync(join(pack, 'pack.yaml'), '');
    const { path } = made();
    symlinkSync(path, join(pack, 'linked.key'));
    expect(wrongOf(readPrivateKey(join(pack, 'linked.key')))).toContain('is a pack');
    const inside = privateText(makeKeyPair().privateKey, pack);
    const link = join(scratch(), 'linked.key');
    symlinkSync(inside, link);
    expect(wrongOf(readPrivateKey(link))).toContain('is a pack');
  });
});

describe('what is no private key', () => {
  const rsa = generateKeyPairSync('rsa', { modulusLength: 1024 }).privateKey;
  const x25519 = generateKeyPairSync('x25519').privateKey;
  const ed448 = generateKeyPairSync('ed448').privateKey;
  const ed25519 = generateKeyPairSync('ed25519').privateKey;
  const pem = (key: typeof rsa): string => key.export({ type: 'pkcs8', format: 'pem' }).toString();
  const { privateKey, publicKey, keyId } = makeKeyPair();
  const secret = privateKey.split('\n')[1] ?? '';
  test.each([
    ['RSA', pem(rsa), 'it is a key for rsa, and not Ed25519'],
    ['X25519', pem(x25519), 'it is a key for x25519, and not Ed25519'],
    ['Ed448', pem(ed448), 'it is a key for ed448, and not Ed25519'],
    [
      'one locked by a passphrase',
      ed25519.export({ type: 'pkcs8', format: 'pem', cipher: 'aes-256-cbc', passphrase: 'x' }).toString(),
      'locked by a passphrase',
    ],
    ['the public half', publicKey, 'it is a public key'],
    ['a key id', keyId, 'it is a public key'],
    ['a text', 'lead', 'no private key in PEM'],
    ['nothing', '', 'no private key in PEM'],
    ['a key that was cut', privateKey.replace(secret.slice(10, 30), ''), 'its PEM cannot be read'],
    ['a file that is too long', `${privateKey}${' '.repeat(5000)}`, 'longer than any key'],
  ])('%s', (_, text, says) => {
    expect(wrongOf(readPrivateKey(privateText(text)))).toContain(says);
  });

  test('a folder, and what is not there', () => {
    expect(wrongOf(readPrivateKey(scratch()))).toContain('is no file');
    expect(wrongOf(readPrivateKey(join(scratch(), 'none')))).toContain('cannot be read (ENOENT)');
  });

  test('a private key is not taken for a public one', () => {
    expect(wrongOf(readPublicKey(privateText(privateKey)))).toContain('it is a private key');
  });

  test('nor another kind of public key, nor half a key id', () => {
    const other = generateKeyPairSync('ed448').publicKey.export({ type: 'spki', format: 'pem' }).toString();
    expect(wrongOf(readPublicKey(privateText(other)))).toContain('a key for ed448');
    expect(wrongOf(readPublicKey(keyId.slice(0, -1)))).toContain('is not taken as a public key');
    expect(wrongOf(readPublicKey(keyId.toUpperCase()))).toContain('cannot be read');
  });
});

test('nothing of a private key is shown: printed, logged, written as JSON, or in any error', () => {
  const { privateKey } = makeKeyPair();
  const secret = privateKey.split('\n')[1] ?? '';
  const raw = Buffer.from(secret, 'base64').subarray(-32);
  const key = parsePrivateKey(privateKey);
  const shown = [
    inspect(key, { depth: 10, showHidden: true }),
    JSON.stringify({ key }),
    String(key),
    Object.values(key).map(String).join(),
    inspect(Object.getOwnPropertyDescriptors(key), { depth: 10, showHidden: true }),
    ...[
      privateKey.replace('PRIVATE KEY', 'SECRET KEY'),
      privateKey.replace('-----END', '----END'),
      `${secret}`,
      privateKey.replace('BEGIN', 'BEGIN RSA'),
    ].map((text) => wrongOf(readPrivateKey(privateText(text)))),
    wrongOf(readPublicKey(privateText(privateKey))),
  ];
  for (const text of shown) {
    expect(text.length).toBeGreaterThan(0);
    for (const form of [
      secret.slice(20, 40),
      raw.toString('hex').slice(8, 24),
      raw.toString('base64').slice(4, 20),
    ])
      expect(text).not.toContain(form);
  }
});
