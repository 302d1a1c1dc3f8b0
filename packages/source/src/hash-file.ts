import { createHash } from 'node:crypto';
import { closeSync, constants, fstatSync, openSync, readSync } from 'node:fs';
import type { Digest } from '@ferrule/signing';

/** What a released folder may hold besides its YAML, such as pictures: bytes of one file. */
const MOST_BYTES = 256 * 1024 * 1024;
/** Neither a link in the last place nor a pipe is opened; both flags are absent on Windows. */
const OPEN_FLAGS = constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0);

/**
 * The digest of a file's bytes, and what it would be with the line ends of Unix; or what failed. The file is read piece by
 * piece and never held as a whole.
 */
export function hashFile(
  path: string,
): { readonly digest: Digest; readonly withUnixLineEnds: Digest } | { readonly failed: string } {
  let handle: number | undefined;
  try {
    handle = openSync(path, OPEN_FLAGS);
    const { size } = fstatSync(handle);
    if (size > MOST_BYTES) return { failed: `larger than ${MOST_BYTES} bytes` };
    const [plain, unix] = [createHash('sha256'), createHash('sha256')];
    const piece = Buffer.alloc(64 * 1024);
    let isAfterReturn = false;
    for (let length = 1; length > 0; ) {
      length = readSync(handle, piece, 0, piece.length, null);
      const read = piece.subarray(0, length);
      plain.update(read);
      // Latin-1 maps each byte to one character and back.
      const text: string = `${isAfterReturn ? '\r' : ''}${read.toString('latin1')}`;
      isAfterReturn = length > 0 && text.endsWith('\r');
      unix.update((isAfterReturn ? text.slice(0, -1) : text).replaceAll('\r\n', '\n'), 'latin1');
    }
    return { digest: `sha256:${plain.digest('hex')}`, withUnixLineEnds: `sha256:${unix.digest('hex')}` };
  } catch (error) {
    return { failed: error instanceof Error && 'code' in error ? String(error.code) : String(error) };
  } finally {
    if (handle !== undefined) closeSync(handle);
  }
}
