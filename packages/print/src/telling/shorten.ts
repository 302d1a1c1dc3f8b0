/** A text on one line, cut where it is too long. */
export function shorten(text: string, columns: number): string {
  const signs = [...text.replace(/\s*\n\s*/g, ' ')];
  return signs.length <= columns ? signs.join('') : `${signs.slice(0, columns - 1).join('')}…`;
}
