import type { Timing } from './contest.ts';

/** One line of the table: what was measured, beside what, and the ratio of the two. */
export interface Row {
  readonly measure: string;
  readonly of: string;
  readonly value: string;
  readonly ratio?: string;
  /** What we aim at, and whether this run met it. */
  readonly aim?: { readonly says: string; readonly met: boolean };
}

/** Timings as rows; ratios say how many times as long each takes as the first. */
export function rowsOf(measure: string, timings: readonly Timing[]): readonly Row[] {
  const [first] = timings;
  return timings.map(({ name, nanoseconds }) => ({
    measure,
    of: name,
    value: duration(nanoseconds),
    ratio: `× ${significant(nanoseconds / (first?.nanoseconds ?? Number.NaN))}`,
  }));
}

/** How many times as long the other one takes. */
export function timesFaster(timings: readonly Timing[], ours: string, other: string): number {
  const of = (name: string): number => timings.find((one) => one.name === name)?.nanoseconds ?? Number.NaN;
  return of(other) / of(ours);
}

export function duration(nanoseconds: number): string {
  if (nanoseconds < 1e3) return `${significant(nanoseconds)} ns`;
  if (nanoseconds < 1e6) return `${significant(nanoseconds / 1e3)} µs`;
  return `${significant(nanoseconds / 1e6)} ms`;
}

export function significant(value: number): string {
  if (value >= 100) return Math.round(value).toLocaleString('en');
  return value >= 10 ? value.toFixed(1) : value.toFixed(2);
}

/** The rows as a Markdown table with aligned columns. */
export function tableOf(rows: readonly Row[]): string {
  const head = ['measure', 'of', 'value', 'ratio', 'aim'];
  const lines = rows.map(({ measure, of, value, ratio = '', aim }, place) => [
    rows[place - 1]?.measure === measure ? '' : measure,
    of,
    value,
    ratio,
    aim === undefined ? '' : `${aim.says}: ${aim.met ? 'met' : 'missed'}`,
  ]);
  const widths = head.map((title, column) =>
    Math.max(...[head, ...lines].map((line) => (line[column] ?? title).length)),
  );
  const write = (cells: readonly string[]): string =>
    `| ${cells.map((cell, column) => cell.padEnd(widths[column] ?? 0)).join(' | ')} |`;
  return [
    write(head),
    `|${widths.map((width) => '-'.repeat(width + 2)).join('|')}|`,
    ...lines.map(write),
  ].join('\n');
}
