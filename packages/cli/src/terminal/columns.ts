/** Rows as aligned columns, the first row being the heading with a rule under it. `right` names columns that align right. */
export function columns(rows: readonly (readonly string[])[], right: readonly number[] = []): string {
  const count = Math.max(0, ...rows.map((row) => row.length));
  const widths = Array.from({ length: count }, (_, column) =>
    Math.max(...rows.map((row) => [...(row[column] ?? '')].length)),
  );
  const lines = rows.map((row) =>
    widths
      .map((width, column) => {
        const cell = row[column] ?? '';
        const gap = ' '.repeat(width - [...cell].length);
        return right.includes(column) ? gap + cell : cell + gap;
      })
      .join('  ')
      .trimEnd(),
  );
  lines.splice(1, 0, widths.map((width) => '-'.repeat(width)).join('  '));
  return lines.join('\n');
}
