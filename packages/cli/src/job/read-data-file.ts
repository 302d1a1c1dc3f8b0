import { readFile, stat } from 'node:fs/promises';
import { notRead } from '@ferrule/signing';
import { callFault, type Faulty } from '../pack/open-pack.ts';

const MOST_MEGABYTES = 4;

/** The bytes of a file that the call names; that it cannot be read is a fault of the call. `what` says what it holds. */
export async function readDataFile(what: string, file: string): Promise<Uint8Array | Faulty> {
  try {
    const about = await stat(file);
    // A device or a pipe may have no end.
    if (!about.isFile()) return callFault(`the ${what} ${file} are no file.`);
    if (about.size > MOST_MEGABYTES * 1_000_000)
      return callFault(`the ${what} ${file} have more than ${MOST_MEGABYTES} MB.`);
    return await readFile(file);
  } catch (error) {
    return callFault(notRead(`the ${what} ${file}`, error));
  }
}

/** The last part of a path, by which messages name the file. */
export const nameOfFile = (file: string): string => file.replaceAll('\\', '/').split('/').at(-1) ?? file;
