const USUAL = 80;
const NARROWEST = 40;

/** Columns to write in: those of the terminal, and 80 where it is none. */
export const width = (): number => Math.max(process.stdout.columns || USUAL, NARROWEST);

/**
 * A text broken into lines at spaces; `first` stands before the first line and `rest` before the others. A space that must
 * not be broken at comes as U+00A0, and is written as any other.
 */
export function wrap(
  text: string,
  first = '',
  rest = ' '.repeat([...first].length),
  columns = width(),
): string {
  const lines: string[] = [];
  for (const paragraph of text.trimEnd().split('\n')) {
    let line = lines.length === 0 ? first : rest;
    let isEmpty = true;
    for (const word of paragraph.split(' ').filter((one) => one !== '')) {
      if (!isEmpty && [...line].length + 1 + [...word].length > columns) {
        lines.push(line);
        line = rest;
        isEmpty = true;
      }
      line += isEmpty ? word : ` ${word}`;
      isEmpty = false;
    }
    lines.push(line);
  }
  return lines.join('\n').replaceAll('\u00a0', ' ');
}
