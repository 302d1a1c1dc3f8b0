import { closeSync, existsSync, fstatSync, ftruncateSync, openSync, readSync, writeSync } from 'node:fs';
import type { ChunkResult } from './rejudge-chunk.ts';

/** The version of the progress file; another one is begun anew. */
const progressFormat = 'ferrule-rejudge-progress-1';

/**
 * Results of chunks, one to a line, added at the end only. A run that was cut off goes on from the lines that are whole.
 * Only where each line stands is kept in memory. Throws what the file system throws.
 */
export class ProgressFile {
  readonly #handle: number;
  readonly #lines = new Map<string, { readonly at: number; readonly length: number }>();
  #end: number;

  /** `asked` is a digest of all that the results depend on besides the jobs: with another one nothing is taken over. */
  constructor(path: string, asked: string) {
    const isThere = existsSync(path);
    this.#handle = openSync(path, isThere ? 'r+' : 'w+');
    const head = `${JSON.stringify({ format: progressFormat, asked })}\n`;
    this.#end = this.#takeOver(head);
    if (this.#end === 0) {
      ftruncateSync(this.#handle, 0);
      this.#end = writeSync(this.#handle, head, 0);
    } else ftruncateSync(this.#handle, this.#end);
  }

  has(chunk: string): boolean {
    return this.#lines.has(chunk);
  }

  add(chunk: string, result: ChunkResult): void {
    const line = Buffer.from(`${JSON.stringify([chunk, result])}\n`, 'utf8');
    for (let done = 0; done < line.length; )
      done += writeSync(this.#handle, line, done, line.length - done, this.#end + done);
    this.#lines.set(chunk, { at: this.#end, length: line.length });
    this.#end += line.length;
  }

  /** The result of a chunk that is there. */
  read(chunk: string): ChunkResult {
    const line = this.#lines.get(chunk);
    if (line === undefined) throw new RangeError(`there is no result of the chunk ${chunk}`);
    const bytes = Buffer.alloc(line.length);
    for (let done = 0; done < line.length; ) {
      const count = readSync(this.#handle, bytes, done, line.length - done, line.at + done);
      if (count === 0) throw new Error('the progress file was cut off by something else');
      done += count;
    }
    const [, result]: [string, ChunkResult] = JSON.parse(bytes.toString('utf8'));
    return result;
  }

  close(): void {
    closeSync(this.#handle);
  }

  /** Finds the lines that are whole; where the last of them ends, or 0 when nothing can be taken over. */
  #takeOver(head: string): number {
    const { size } = fstatSync(this.#handle);
    const piece = Buffer.alloc(1 << 20);
    let rest = Buffer.alloc(0);
    let end = 0;
    for (let at = 0; at < size; ) {
      const count = readSync(this.#handle, piece, 0, piece.length, at);
      if (count === 0) break;
      at += count;
      rest = Buffer.concat([rest, piece.subarray(0, count)]);
      let start = 0;
      for (let stop = rest.indexOf(0x0a); stop >= 0; stop = rest.indexOf(0x0a, start)) {
        const line = rest.subarray(start, stop + 1);
        if (end === 0) {
          if (line.toString('utf8') !== head) return 0;
        } else {
          const chunk = /^\["(sha256:[0-9a-f]{64})",/.exec(line.toString('latin1', 0, 80))?.[1];
          if (chunk === undefined || !isWhole(line)) return end;
          this.#lines.set(chunk, { at: end, length: line.length });
        }
        end += line.length;
        start = stop + 1;
      }
      rest = rest.subarray(start);
    }
    return end;
  }
}

function isWhole(line: Buffer): boolean {
  try {
    JSON.parse(line.toString('utf8'));
    return true;
  } catch {
    return false;
  }
}
