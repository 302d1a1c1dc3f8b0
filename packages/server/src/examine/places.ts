import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Span } from '@ferrule/engine';
import type { PackFile, Positions } from '@ferrule/source';

export interface PlaceInPack extends Span {
  readonly text?: { readonly from: number; readonly text: string };
}

/** What is shown of a line before its place, and in all; in UTF-16 code units. */
const BEFORE = 60;
const MOST = 200;

/** Says where things stand in the files of a pack, with the line that is written there. */
export class Places {
  readonly #folder: string;
  readonly #positions: Positions;
  /** Files that were read as a part of the pack; no other is opened, whatever a place names. */
  readonly #files: ReadonlySet<string>;
  readonly #lines = new Map<string, readonly string[]>();

  constructor(folder: string, positions: Positions, files: readonly PackFile[]) {
    this.#folder = folder;
    this.#positions = positions;
    this.#files = new Set(files.map(({ path }) => path));
  }

  /** The place of a pointer into the pack, or of what is around it, without its line. */
  at(pointer: string): Span | undefined {
    return this.#positions.nearest(pointer);
  }

  /** A place with the line that is written there. */
  withLine(span: Span): PlaceInPack {
    const line = this.#linesOf(span.file)[span.line - 1];
    if (line === undefined) return span;
    const from = Math.max(0, Math.min(span.column - 1 - BEFORE, line.length - MOST));
    return { ...span, text: { from: from + 1, text: line.slice(from, from + MOST) } };
  }

  #linesOf(file: string): readonly string[] {
    if (!this.#files.has(file)) return [];
    const known = this.#lines.get(file);
    if (known !== undefined) return known;
    let lines: readonly string[] = [];
    try {
      lines = readFileSync(join(this.#folder, file), 'utf8').split(/\r\n?|\n/);
    } catch {
      // It was taken away since: the place is told without its line.
    }
    this.#lines.set(file, lines);
    return lines;
  }
}
