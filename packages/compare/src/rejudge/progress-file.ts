import { closeSync, existsSync, fstatSync, ftruncateSync, openSync, readSync, writeSync } from 'node:fs';
import type { ChunkResult, Row } from './rejudge-chunk.ts';

/** The version of the progress file; another one is begun anew. */
const progressFormat = 'ferrule-rejudge-progress-2';

/** The result of a chunk without its rows. */
export type ChunkCounts = Omit<ChunkResult, 'rows'> & { readonly rowCount: number };

/** The result of a chunk as JSON: what is asked for once, and the rows, which are many. */
export interface WrittenChunk {
  readonly counts: string;
  readonly rows: string;
}

export const writeChunk = ({ rows, ...rest }: ChunkResult): WrittenChunk => {
  const counts: ChunkCounts = { ...rest, rowCount: rows.length };
  return { counts: JSON.stringify(counts), rows: JSON.stringify(rows) };
};

interface Place {
  readonly at: number;
  readonly length: number;
}

/**
 * Results of chunks, each a line of rows and a line of counts behind it, added at the end only. A run that was cut off goes on
 * from those that are whole. Only where each line stands is kept in memory. Throws what the file system throws.
 */
export class ProgressFile {
  readonly #handle: number;
  readonly #lines = new Map<string, { readonly rows: Place; readonly counts: Place }>();
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

  add(chunk: string, { counts, rows }: WrittenChunk): void {
    const texts = [rows, counts].map((one) => Buffer.from(`["${chunk}",${one}]\n`, 'utf8'));
    const places = texts.map((line) => {
      const place = { at: this.#end, length: line.length };
      for (let done = 0; done < line.length; )
        done += writeSync(this.#handle, line, done, line.length - done, this.#end + done);
      this.#end += line.length;
      return place;
    });
    const [ofRows, ofCounts] = places;
    if (ofRows !== undefined && ofCounts !== undefined)
      this.#lines.set(chunk, { rows: ofRows, counts: ofCounts });
  }

  /** What came of a chunk that is there, without its rows. */
  counts(chunk: string): ChunkCounts {
    const [, counts]: [string, ChunkCounts] = JSON.parse(this.#text(this.#placeOf(chunk).counts));
    return counts;
  }

  /** The rows of a chunk that is there. */
  rows(chunk: string): readonly Row[] {
    const [, rows]: [string, readonly Row[]] = JSON.parse(this.#text(this.#placeOf(chunk).rows));
    return rows;
  }

  #placeOf(chunk: string): { readonly rows: Place; readonly counts: Place } {
    const line = this.#lines.get(chunk);
    if (line === undefined) throw new RangeError(`there is no result of the chunk ${chunk}`);
    return line;
  }

  #text({ at, length }: Place): string {
    const bytes = Buffer.alloc(length);
    for (let done = 0; done < length; ) {
      const count = readSync(this.#handle, bytes, done, length - done, at + done);
      if (count === 0) throw new Error('the progress file was cut off by something else');
      done += count;
    }
    return bytes.toString('utf8');
  }

  close(): void {
    closeSync(this.#handle);
  }

  /** Finds the lines that are whole; where the last result ends, or 0 when nothing can be taken over. */
  #takeOver(head: string): number {
    const { size } = fstatSync(this.#handle);
    const piece = Buffer.alloc(1 << 20);
    let rest = Buffer.alloc(0);
    let end = 0;
    let here = 0;
    let rows: (Place & { readonly chunk: string }) | undefined;
    for (let at = 0; at < size; ) {
      const count = readSync(this.#handle, piece, 0, piece.length, at);
      if (count === 0) break;
      at += count;
      rest = Buffer.concat([rest, piece.subarray(0, count)]);
      let start = 0;
      for (let stop = rest.indexOf(0x0a); stop >= 0; stop = rest.indexOf(0x0a, start)) {
        const line = rest.subarray(start, stop + 1);
        const place = { at: here, length: line.length };
        here += line.length;
        if (end === 0) {
          if (line.toString('utf8') !== head) return 0;
          end = here;
        } else {
          const [, chunk, sign] =
            /^\["(sha256:[0-9a-f]{64})",([[{])/.exec(line.toString('latin1', 0, 80)) ?? [];
          if (chunk === undefined || !isWhole(line)) return end;
          if (sign === '[') rows = { ...place, chunk };
          else if (rows?.chunk === chunk) {
            this.#lines.set(chunk, { rows, counts: place });
            end = here;
          } else return end;
        }
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
