import type { Span } from '@ferrule/engine';

const LINE_FEED = 10;
const CARRIAGE_RETURN = 13;

/** One file's text, which turns offsets (UTF-16 code units from 0) into lines and columns from 1. */
export class SourceText {
  readonly path: string;
  readonly text: string;
  #lineStarts: readonly number[] | undefined;

  constructor(path: string, text: string) {
    this.path = path;
    this.text = text;
  }

  /** The span from `start` to just before `end`. */
  span(start: number, end: number): Span {
    const from = this.#place(start);
    const to = this.#place(end);
    return { file: this.path, line: from.line, column: from.column, endLine: to.line, endColumn: to.column };
  }

  /** Offsets of the first character of the line that holds `offset`, and of its line break. */
  lineAround(offset: number): { readonly start: number; readonly end: number } {
    const start = offset - this.#place(offset).column + 1;
    let end = start;
    while (end < this.text.length && !this.isLineBreak(end)) end++;
    return { start, end };
  }

  isLineBreak(offset: number): boolean {
    const code = this.text.charCodeAt(offset);
    return code === LINE_FEED || code === CARRIAGE_RETURN;
  }

  #place(offset: number): { readonly line: number; readonly column: number } {
    const starts = this.#starts();
    let low = 0;
    let high = starts.length;
    while (high - low > 1) {
      const middle = (low + high) >>> 1;
      if ((starts[middle] ?? 0) <= offset) low = middle;
      else high = middle;
    }
    return { line: low + 1, column: offset - (starts[low] ?? 0) + 1 };
  }

  /** Lines end at LF, CR LF or CR, as in YAML 1.2 (clause 5.4). */
  #starts(): readonly number[] {
    if (this.#lineStarts !== undefined) return this.#lineStarts;
    const starts = [0];
    for (let at = 0; at < this.text.length; at++) {
      const code = this.text.charCodeAt(at);
      if (code !== LINE_FEED && code !== CARRIAGE_RETURN) continue;
      if (code === CARRIAGE_RETURN && this.text.charCodeAt(at + 1) === LINE_FEED) at++;
      starts.push(at + 1);
    }
    this.#lineStarts = starts;
    return starts;
  }
}
