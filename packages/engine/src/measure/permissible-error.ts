import { type Amount, type Kind, parseStatement, type Quantity, Rational } from '../quantity/index.ts';

/**
 * How far an indication may be off to either side (VIM 4.26, maximum permissible error): a fixed part in base units of
 * the kind, and a share of the indication without its sign.
 */
export interface PermissibleError {
  readonly fixed: Rational;
  readonly share: Rational;
}

/** What is told to whoever wrote none. */
export const howErrorsAreWritten =
  'Write a quantity above zero, or a share: 0.03 mm, 4 % of indication, 1.6 % of range.';

const SHARE = /^(\d+(?:[.,]\d+)?)\s*%\s+of\s+(indication|range)$/;

/**
 * Reads `0.03 mm`, `0.03 mm (0.001 in)`, `4 % of indication`, `1.6 % of range`, or several of them joined by ` + `. Undefined for anything
 * else, for a part below zero, for nothing at all, for a share of the whole or more, and for a share of a temperature, which has no zero of its own.
 */
export function parsePermissibleError(
  text: string,
  kind: Kind,
  range: readonly [Quantity, Quantity],
): PermissibleError | undefined {
  let fixed = Rational.zero;
  let share = Rational.zero;
  for (const term of text.split(/\s+\+\s+/)) {
    const [, digits, of] = SHARE.exec(term.trim()) ?? [];
    if (digits === undefined) {
      const read = parseStatement(term, spanKind(kind));
      if (!('original' in read) || read.original.value.sign < 0) return undefined;
      fixed = fixed.plus(read.original.value);
      continue;
    }
    const part = Rational.parse(digits.replace(',', '.'))?.over(Rational.of(100));
    if (part === undefined || (of === 'indication' && kind === 'temperature')) return undefined;
    // As much as the indication itself, or more: such an instrument shows nothing.
    if (part.compare(Rational.one) >= 0) return undefined;
    if (of === 'indication') share = share.plus(part);
    else fixed = fixed.plus(part.times(range[1].value.minus(range[0].value)));
  }
  // Nothing shows without any error.
  return fixed.sign === 0 && share.sign === 0 ? undefined : { fixed, share };
}

/** The half-width ±a at an indication, in base units. */
export const halfWidthAt = ({ fixed, share }: PermissibleError, indication: Rational): Rational =>
  share.sign === 0 ? fixed : fixed.plus(share.times(indication.abs()));

/** The largest half-width ±a over a range of indications, in base units. */
export const halfWidthOver = (error: PermissibleError, range: readonly Amount[]): Rational =>
  range
    .map(({ value }) => halfWidthAt(error, value))
    .reduce((most, one) => (one.compare(most) > 0 ? one : most), Rational.zero);

/** Whether two statements of an error come to the same. */
export const isSameError = (one: PermissibleError, other: PermissibleError | undefined): boolean =>
  other !== undefined && one.fixed.equals(other.fixed) && one.share.equals(other.share);

/** Two temperatures differ by a temperature difference. */
export const spanKind = (kind: Kind): Kind => (kind === 'temperature' ? 'temperature-difference' : kind);
