import { width, wrap } from './wrap.ts';

const GAP = 2;

/**
 * Rows as aligned columns, the first row being the heading with a rule under it. `right` names columns that align right.
 * Where the rows are wider than `widest`, cells of the other columns are folded at spaces, the widest column first. A
 * space that must not be folded at is written U+00A0.
 */
export function columns(
  rows: readonly (readonly string[])[],
  right: readonly number[] = [],
  widest = width(),
): string {
  const count = Math.max(0, ...rows.map((row) => row.length));
  const widths = widthsOf(rows, count, right, widest);
  const lines = rows.flatMap((row, place) => {
    const cells = widths.map((columns, column) =>
      right.includes(column) ? [row[column] ?? ''] : wrap(row[column] ?? '', '', '', columns).split('\n'),
    );
    const height = Math.max(1, ...cells.map((cell) => cell.length));
    const written = Array.from({ length: height }, (_, line) =>
      widths
        .map((columns, column) => {
          const cell = cells[column]?.[line] ?? '';
          const gap = ' '.repeat(Math.max(0, columns - [...cell].length));
          return right.includes(column) ? gap + cell : cell + gap;
        })
        .join(' '.repeat(GAP))
        .trimEnd(),
    );
    return place === 0 ? [...written, widths.map((columns) => '-'.repeat(columns)).join('  ')] : written;
  });
  return lines.join('\n');
}

function widthsOf(
  rows: readonly (readonly string[])[],
  count: number,
  right: readonly number[],
  widest: number,
): readonly number[] {
  const longest = (column: number, parts: (cell: string) => readonly string[]): number =>
    Math.max(0, ...rows.flatMap((row) => parts(row[column] ?? '').map((part) => [...part].length)));
  const widths = Array.from({ length: count }, (_, column) => longest(column, (cell) => [cell]));
  const least = widths.map((whole, column) =>
    right.includes(column) ? whole : longest(column, (cell) => cell.split(' ')),
  );
  const total = (): number => widths.reduce((sum, one) => sum + one, GAP * (count - 1));
  while (total() > widest) {
    // The widest one that a space still lets be folded.
    let fold = -1;
    widths.forEach((one, column) => {
      if (one > (least[column] ?? 0) && (fold < 0 || one > (widths[fold] ?? 0))) fold = column;
    });
    if (fold < 0) break;
    widths[fold] = (widths[fold] ?? 0) - 1;
  }
  return widths;
}
