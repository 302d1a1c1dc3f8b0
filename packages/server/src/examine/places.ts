import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Span } from '@ferrule/engine';
import type { PackFile, Positions } from '@ferrule/source';
import { besidePack, type OverlayNamed } from '../packs/beside-pack.ts';

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
  /** Files that were read as a part of the pack, by how they are shown; no other is opened, whatever a place names. */
  readonly #files: ReadonlyMap<string, string>;
  readonly #laid: OverlayNamed | undefined;
  readonly #lines = new Map<string, readonly string[]>();

  constructor(
    folder: string,
    positions: Positions,
    files: readonly PackFile[],
    laid: OverlayNamed | undefined,
  ) {
    this.#folder = folder;
    this.#positions = positions;
    this.#laid = laid;
    this.#files = new Map(files.map(({ path }) => [besidePack(path, laid), path]));
  }

  /** The place of a pointer into the pack, or of what is around it, without its line. */
  at(pointer: string): Span | undefined {
    const span = this.#positions.nearest(pointer);
    return span && { ...span, file: besidePack(span.file, this.#laid) };
  }

  /** Every file that was read, as it is shown. */
  get files(): readonly string[] {
    return [...this.#files.keys()];
  }

  /** A place with the line that is written there. */
  withLine(span: Span): PlaceInPack {
    const file = besidePack(span.file, this.#laid);
    const line = this.#linesOf(file)[span.line - 1];
    if (line === undefined) return { ...span, file };
    const from = Math.max(0, Math.min(span.column - 1 - BEFORE, line.length - MOST));
    return { ...span, file, text: { from: from + 1, text: line.slice(from, from + MOST) } };
  }

  #linesOf(file: string): readonly string[] {
    const path = this.#files.get(file);
    if (path === undefined) return [];
    const known = this.#lines.get(file);
    if (known !== undefined) return known;
    let lines: readonly string[] = [];
    try {
      lines = readFileSync(join(this.#folder, path), 'utf8').split(/\r\n?|\n/);
    } catch {
      // It was taken away since: the place is told without its line.
    }
    this.#lines.set(file, lines);
    return lines;
  }
}
