import { closeSync, openSync, readSync, statSync } from 'node:fs';
import type { JobHeader } from './job-header.ts';
import { readHeader } from './lines.ts';

/** Longer than any first line that is written. */
const MOST_BYTES = 16_384;

/**
 * Which job a file says that it is, by its first line alone: nothing is checked, so what is found is only good for passing the
 * file over. Undefined where that cannot be told without reading the file.
 */
export function peekHeader(file: string): JobHeader | undefined {
  let handle: number | undefined;
  try {
    // A pipe under this name would hold up whoever reads it.
    if (!statSync(file).isFile()) return undefined;
    handle = openSync(file, 'r');
    const bytes = Buffer.alloc(MOST_BYTES);
    const length = readSync(handle, bytes, 0, MOST_BYTES, 0);
    const end = bytes.subarray(0, length).indexOf(0x0a);
    if (end < 0) return undefined;
    const read = readHeader(bytes.toString('utf8', 0, end));
    return 'wrong' in read ? undefined : read.header;
  } catch {
    return undefined;
  } finally {
    if (handle !== undefined) closeSync(handle);
  }
}
