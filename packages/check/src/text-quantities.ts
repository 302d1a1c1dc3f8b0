import {
  type Agreement,
  judgeDual,
  parseRangeStatement,
  parseStatement,
  type Quantity,
  type RangeAgreement,
  units,
  writeQuantity,
} from '@ferrule/engine';

/** A quantity that a text states in figures, and what stands around it. */
export interface TextQuantity {
  readonly quantity: Quantity;
  /** What stands in brackets after it, if that is a quantity too. */
  readonly second?: Quantity;
  /** As it stands in the text: `three turns`. */
  readonly said: string;
  readonly before: string;
  readonly after: string;
  /** It is said in words: `three turns`. */
  readonly isInWords?: true;
}

/** Spellings that are words or letters in prose more often than units. */
const doubtful: ReadonlySet<string> = new Set([
  'in',
  'in.',
  'r',
  'C',
  'F',
  'K',
  'd',
  'at',
  'turn',
  'turns',
  'rev',
  'A',
  'V',
  'm',
  'g',
  'L',
  'st',
  '',
  '"',
  '″',
  '”',
]);

const escaped = (text: string): string => text.replace(/[.*+?^${}()|[\]\\/]/g, '\\$&');
const spellings = (from: (spelling: string) => boolean): string =>
  [...new Set(units.flatMap((unit) => [unit.symbol, ...unit.also]))]
    .filter((one) => one !== '' && from(one))
    .sort((a, b) => b.length - a.length)
    .map((one) => escaped(one).replace(/·/g, '[·.⋅• -]?'))
    .join('|');

const number = String.raw`[-−+]?(?:\d{1,9}(?:\.\d{1,9})?|\.\d{1,9})`;
const plain = new RegExp(
  String.raw`(?<![\p{L}\d.,/×:-])(${number})\s?(${spellings((one) => !doubtful.has(one))})(?![\p{L}\d²³/])(?:\s*\(\s*(${number}\s?[^\s()]+(?: [^\s()]+)?)\s*\))?`,
  'gu',
);
const pair = new RegExp(
  String.raw`(?<![\p{L}\d.,-])${number}\s?[^\s()\d]{0,8}\s+to\s+${number}\s?[^\s()\d]{1,8}(?: [^\s()\d]{1,8})?\s*\(\s*${number}[^()]{0,12}\s+to\s+${number}[^()]{1,12}\)`,
  'gu',
);

/** A dual statement in a text, with how its two sides agree. */
export interface TextDual {
  /** What stands before it. */
  readonly before: string;
  readonly original: Quantity;
  readonly second: Quantity;
  readonly agreement: Agreement | RangeAgreement;
}

/** The quantities that a text states in figures, with units of which a reader would not think as words. */
export function quantitiesIn(text: string): readonly TextQuantity[] {
  if (!/\d/.test(text)) return [];
  const found: TextQuantity[] = [];
  for (const match of text.matchAll(plain)) {
    const read = parseStatement(`${(match[1] ?? '').replace(/^\+/, '')} ${match[2] ?? ''}`);
    if ('fault' in read) continue;
    const second = match[3] === undefined ? undefined : parseStatement(pointed(match[3]));
    found.push({
      quantity: read.original,
      said: writeQuantity(read.original),
      ...(second === undefined || 'fault' in second ? {} : { second: second.original }),
      before: text.slice(0, match.index),
      after: text.slice(match.index + match[0].length),
    });
  }
  return found;
}

const counts = ['one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten'];
const turns = new RegExp(
  String.raw`\b(${counts.join('|')}|\d{1,2})\s+(?:full |whole |complete )?turns?\b(?! at a time)`,
  'giu',
);

/** The turns that a text says in words: `two full turns`. */
export function turnsIn(text: string): readonly TextQuantity[] {
  return [...text.matchAll(turns)].flatMap((match): readonly TextQuantity[] => {
    const said = (match[1] ?? '').toLowerCase();
    const place = counts.indexOf(said);
    const read = parseStatement(`${place < 0 ? said : place + 1} turn`);
    if ('fault' in read) return [];
    const before = text.slice(0, match.index);
    const after = text.slice(match.index + match[0].length);
    return [{ quantity: read.original, said: match[0], before, after, isInWords: true }];
  });
}

/** The trade writes `.827 in`; a value by itself has a digit before the point. */
const pointed = (text: string): string => text.replace(/^([-−+]?)\./, '$10.');

/** The dual statements in a text: `41 N·m (30 lbf·ft)`, `2 to 4 mm (.08 to .16 in)`. */
export function dualsIn(text: string): readonly TextDual[] {
  if (!text.includes('(') || !/\d/.test(text)) return [];
  const pairs = [...text.matchAll(pair)].flatMap((match): TextDual[] => {
    const read = parseRangeStatement(match[0]);
    if ('fault' in read || !('second' in read)) return [];
    const before = text.slice(0, match.index);
    return [{ before, original: read.original[1], second: read.second[1], agreement: read.agreement }];
  });
  const singles = quantitiesIn(text).flatMap(({ quantity, second, before }): TextDual[] => {
    // The end of a pair belongs to the pair.
    if (second === undefined || /\d\s?[^\s\d]{0,8}\s+to\s*$/.test(before)) return [];
    return [{ before, original: quantity, second, agreement: judgeDual(quantity, second) }];
  });
  return [...pairs, ...singles];
}
