import { type BigIntStats, fstatSync, statSync } from 'node:fs';

/**
 * What tells a file from how it was: which file it is, how long, and when its content and its entry were changed last, as
 * finely as the file system keeps that. The last of these (st_ctime of POSIX) cannot be set by a program. undefined where there
 * is no such file.
 */
export function stampOf(path: string): string | undefined {
  const found = statSync(path, { bigint: true, throwIfNoEntry: false });
  return found && stamp(found);
}

/** The same of a file that is open. */
export const stampOfOpen = (handle: number): string => stamp(fstatSync(handle, { bigint: true }));

const stamp = ({ ino, size, mtimeNs, ctimeNs }: BigIntStats): string =>
  `${ino} ${size} ${mtimeNs} ${ctimeNs}`;
