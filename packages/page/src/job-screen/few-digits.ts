/** Digits of a value that does not end, enough for any gauge of a workshop. */
const DIGITS = 6;

/** Values after `≈` with as many digits as can be read at a glance; the record and the card keep all of them. */
export const fewDigits = (text: string): string =>
  text.replace(/≈ (-?\d+\.\d+)/g, (whole, digits: string) =>
    digits.replace(/\D/g, '').length <= DIGITS ? whole : `≈ ${Number(Number(digits).toPrecision(DIGITS))}`,
  );
