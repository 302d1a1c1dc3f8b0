/**
 * The width of a text, as a multiple of its size, in the widest of the usual sans-serif faces. An estimate from that
 * face's advance widths: a picture is laid out before anyone knows what it will be shown with.
 */
export function textWidth(text: string, size: number): number {
  let em = 0;
  for (const sign of text) em += widthOf(sign);
  return em * size;
}

function widthOf(sign: string): number {
  if (/[ijl.,:;'|!]/.test(sign)) return 0.34;
  if (/[ frt()[\]/\\-]/.test(sign)) return 0.42;
  if (/[mwMW@%—…]/.test(sign)) return 1;
  if (/[A-Z&+=<>]/.test(sign)) return 0.74;
  return (sign.codePointAt(0) ?? 0) >= 0x1100 ? 1.05 : 0.63;
}

/** A text in lines of at most `width`; a word that is longer than that is cut. */
export function textLines(text: string, width: number, size: number): readonly string[] {
  const lines: string[] = [];
  let line = '';
  const most = Math.max(4, Math.floor(width / (size * 0.7)));
  const words = text
    .trim()
    .split(/\s+/)
    .flatMap((word) => (textWidth(word, size) <= width ? [word] : cut(word, most)));
  for (const word of words) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && textWidth(longer, size) > width) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  return line === '' ? lines : [...lines, line];
}

function cut(word: string, most: number): readonly string[] {
  const signs = [...word];
  const pieces: string[] = [];
  for (let from = 0; from < signs.length; from += most) pieces.push(signs.slice(from, from + most).join(''));
  return pieces;
}
