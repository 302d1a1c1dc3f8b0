const NUMBER = /^-?\d+(?:\.\d+)?$/;
/** What spreadsheets take for the beginning of a formula, wide forms included, also behind white space. */
const FORMULA = /^[\s\u200b\ufeff]*[=+\-@\t\r\uff0b\uff0d\uff1d\uff20]/;

/** One cell of comma-separated values (RFC 4180). A text that a spreadsheet would run gets an apostrophe before it. */
export function csvCell(value: string | number | undefined): string {
  if (value === undefined || value === '') return '';
  const text = String(value)
    .replace(/\p{Surrogate}/gu, '\ufffd')
    .replaceAll('\0', '\ufffd');
  if (NUMBER.test(text)) return text;
  // In quotes throughout: a program that separates by other signs does not take one inside for an end.
  return `"${(FORMULA.test(text) ? `'${text}` : text).replaceAll('"', '""')}"`;
}
