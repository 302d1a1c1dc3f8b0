import { fileTrouble } from '@ferrule/signing';

/** That something of a store could not be written, so that nothing was recorded; why, and what to do. */
export function unwritten(what: string, error: unknown): string {
  const { code, says, fix } = fileTrouble('write', error);
  const remedy = fix === undefined ? 'Give this once more when it can.' : `${fix}, and give this once more.`;
  return `${what} cannot be written (${code}). Nothing was recorded. ${says} ${remedy}`;
}
