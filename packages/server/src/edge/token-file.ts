import { closeSync, constants, fstatSync, openSync, readSync } from 'node:fs';
import { platform } from 'node:os';
import { notRead } from '@ferrule/signing';

const MOST_BYTES = 4096;
const LEAST = 32;

/** The token that stands in a file that only its owner may read; or what is wrong, in words that hold nothing of it. */
export function readToken(path: string): { readonly token: string } | { readonly wrong: string } {
  let handle: number | undefined;
  try {
    // A pipe must not hold up who names it. The flag is absent on Windows.
    handle = openSync(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
    const found = fstatSync(handle);
    if (!found.isFile() || found.size > MOST_BYTES) return { wrong: `${path} is no file with a token.` };
    if (platform() !== 'win32' && (found.mode & 0o077) !== 0)
      return { wrong: `${path} is not taken: others than its owner may read it. Type: chmod 600 ${path}` };
    const buffer = Buffer.alloc(MOST_BYTES);
    const token = buffer.toString('utf8', 0, readSync(handle, buffer, 0, MOST_BYTES, 0)).trim();
    // RFC 6750, 2.1.
    if (/^[A-Za-z0-9._~+/-]+=*$/.test(token) && token.length >= LEAST && new Set(token).size >= 8)
      return { token };
    return {
      wrong: `${path} holds no token: one is at least ${LEAST} random letters, digits or signs such as - and _. Make one: openssl rand -hex 32 > ${path}`,
    };
  } catch (error) {
    return { wrong: notRead(path, error) };
  } finally {
    if (handle !== undefined) closeSync(handle);
  }
}
