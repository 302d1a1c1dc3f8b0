/**
 * The shape of a serial number: a picture (characters as in ISO/IEC 1989, PICTURE clause) in which `9` is a digit and
 * `A` a capital letter; whatever stands in double quotes, and every other sign, stands for itself. It matches in one
 * pass, so that no shape can take long.
 */
export interface Shape {
  readonly written: string;
  readonly signs: readonly ({ readonly any: 'digit' | 'letter' } | { readonly sign: string })[];
}

/** Reads a shape; undefined when a quote is not closed or nothing is in it. */
export function readShape(written: string): Shape | undefined {
  const signs: Shape['signs'][number][] = [];
  let quoted = false;
  for (const sign of written) {
    if (sign === '"') quoted = !quoted;
    else if (!quoted && sign === '9') signs.push({ any: 'digit' });
    else if (!quoted && sign === 'A') signs.push({ any: 'letter' });
    else signs.push({ sign });
  }
  return quoted || signs.length === 0 ? undefined : { written, signs };
}

/** Whether a text has a shape. */
export function hasShape(text: string, shape: Shape): boolean {
  const found = [...text];
  if (found.length !== shape.signs.length) return false;
  return shape.signs.every((expected, place) => {
    const sign = found[place] ?? '';
    if ('sign' in expected) return sign === expected.sign;
    return expected.any === 'digit' ? /^[0-9]$/.test(sign) : /^[A-Z]$/.test(sign);
  });
}

/** A text that has the shape, for the person who has to type one. */
export function exampleOf(shape: Shape): string {
  let digit = 0;
  return shape.signs
    .map((s) => ('sign' in s ? s.sign : s.any === 'digit' ? String(++digit % 10) : 'A'))
    .join('');
}
