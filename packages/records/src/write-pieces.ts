import { closeSync, openSync, renameSync, writeSync } from 'node:fs';

const ENOUGH = 1 << 16;

/** Writes pieces to a file, beside it first, so that nobody ever reads half of it. Throws what the file system throws. */
export function writePieces(file: string, pieces: Iterable<string>): void {
  const beside = `${file}.part`;
  const handle = openSync(beside, 'w');
  try {
    let waiting = '';
    for (const piece of pieces) {
      waiting += piece;
      if (waiting.length < ENOUGH) continue;
      writeSync(handle, waiting);
      waiting = '';
    }
    writeSync(handle, waiting);
  } finally {
    closeSync(handle);
  }
  renameSync(beside, file);
}
