import {
  closeSync,
  constants,
  existsSync,
  fchmodSync,
  fstatSync,
  fsyncSync,
  openSync,
  readSync,
  unlinkSync,
  writeFileSync,
} from 'node:fs';
import { platform } from 'node:os';
import { resolve } from 'node:path';
import { notRead, notWritten } from './file-trouble.ts';
import { forbiddenPlace } from './forbidden-place.ts';
import type { KeyId } from './key-id.ts';
import { makeKeyPair, type PrivateKey, parsePrivateKey } from './private-key.ts';
import { type PublicKey, parsePublicKey } from './public-key.ts';

/** No key is longer. */
const MOST_BYTES = 4096;
/** A pipe that was named as a key must not hold up whoever reads it. The flag is absent on Windows. */
const OPEN_FLAGS = constants.O_RDONLY | (constants.O_NONBLOCK ?? 0);
const OTHERS_MAY = 0o077;

/** The text of a small file, and who may do what with it. Or what is wrong. */
function load(path: string): { readonly text: string; readonly mode: number } | { readonly wrong: string } {
  let handle: number | undefined;
  try {
    handle = openSync(path, OPEN_FLAGS);
    const stat = fstatSync(handle);
    if (!stat.isFile()) return { wrong: `${path} is no file.` };
    if (stat.size > MOST_BYTES) return { wrong: `${path} is longer than any key.` };
    const buffer = Buffer.alloc(MOST_BYTES);
    return { text: buffer.toString('utf8', 0, readSync(handle, buffer, 0, MOST_BYTES, 0)), mode: stat.mode };
  } catch (error) {
    return { wrong: notRead(path, error) };
  } finally {
    if (handle !== undefined) closeSync(handle);
  }
}

/**
 * The private key in a file (PKCS#8, PEM). Or, in one sentence, why it is not taken: it cannot be read, it is no Ed25519
 * key, it lies in a pack or a store of jobs, or others than its owner may read it. Nothing of the key stands in what this
 * says. On Windows there is no such mode to check, and `unchecked` of the key says so.
 */
export function readPrivateKey(path: string): PrivateKey | { readonly wrong: string } {
  const loaded = load(path);
  if ('wrong' in loaded) return loaded;
  const isWindows = platform() === 'win32';
  const key = parsePrivateKey(
    loaded.text,
    isWindows
      ? `Who else may read ${path} is not checked on Windows. See to it that only you can.`
      : undefined,
  );
  if ('wrong' in key) return { wrong: `${path} is not taken as a key: ${key.wrong}.` };
  const place = forbiddenPlace(resolve(path));
  if (place !== undefined)
    return {
      wrong: `${path} is not taken as a key: ${place}. Move it elsewhere, and make a new one if others have it.`,
    };
  if (!isWindows && (loaded.mode & OTHERS_MAY) !== 0)
    return {
      wrong: `${path} is not taken as a key: others than its owner have rights to it (mode ${modeOf(loaded.mode)}). Type: chmod 600 ${quoted(path)}`,
    };
  return key;
}

const modeOf = (mode: number): string => (mode & 0o777).toString(8).padStart(4, '0');

/** A path as a shell takes it for one word. */
const quoted = (path: string): string =>
  /^[\w@%+=:,./-]+$/.test(path) ? path : `'${path.replaceAll("'", "'\\''")}'`;

/** A public key by its id, or in a file that holds its id or its PEM. Or, in one sentence, what is wrong. */
export function readPublicKey(given: string): PublicKey | { readonly wrong: string } {
  const isText = given.startsWith('ed25519:');
  const loaded = isText ? { text: given } : load(given);
  if ('wrong' in loaded) return loaded;
  const key = parsePublicKey(loaded.text);
  return 'wrong' in key ? { wrong: `${given} is not taken as a public key: ${key.wrong}.` } : key;
}

/** Where a new pair of keys was written. */
export interface KeyFile {
  readonly id: KeyId;
  readonly privateFile: string;
  readonly publicFile: string;
  readonly unchecked?: string;
}

/**
 * Makes a pair of keys: the private one in `path`, which its owner alone may read, and the public one in `path.pub`.
 * Nothing is overwritten, and no key is put where it would be refused. Or, in one sentence, why none was made.
 */
export function makeKeyFile(path: string): KeyFile | { readonly wrong: string } {
  const publicFile = `${path}.pub`;
  const place = forbiddenPlace(resolve(path));
  if (place !== undefined) return { wrong: `No key is put into ${path}: ${place}.` };
  for (const file of [path, publicFile])
    if (existsSync(file))
      return { wrong: `${file} is there already, and is not overwritten. Name another file.` };
  const { privateKey, publicKey, keyId } = makeKeyPair();
  let handle: number | undefined;
  try {
    handle = openSync(path, 'wx', 0o600);
    // Whatever mask is in force: nobody else may have it at any time.
    if (platform() !== 'win32') fchmodSync(handle, 0o600);
    writeFileSync(handle, privateKey);
    fsyncSync(handle);
  } catch (error) {
    if (handle !== undefined) unlinkSync(path);
    return { wrong: notWritten(path, error) };
  } finally {
    if (handle !== undefined) closeSync(handle);
  }
  try {
    writeFileSync(publicFile, publicKey, { flag: 'wx' });
  } catch (error) {
    unlinkSync(path);
    return { wrong: notWritten(publicFile, error) };
  }
  return {
    ...{ id: keyId, privateFile: path, publicFile },
    ...(platform() === 'win32'
      ? { unchecked: `Who else may read ${path} is not checked on Windows. See to it that only you can.` }
      : {}),
  };
}
