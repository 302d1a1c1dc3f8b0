import { Rational } from '../quantity/index.ts';

/**
 * The square root of a square, to so many significant digits: for showing an uncertainty, rounded up or to the nearest
 * (JCGM 100, 7.2.6). Computed in whole numbers, so it is the same everywhere. A root that ends within these digits is
 * exact. Throws a RangeError for a number below zero.
 */
export function rootOf(square: Rational, significantDigits: number, rounding: 'up' | 'nearest'): Rational {
  if (square.sign < 0) throw new RangeError('the root of a number below zero');
  if (square.sign === 0) return Rational.zero;
  const [above = '', below = '1'] = square.toFraction().split('/');
  // 100^shift times the square has 2·significantDigits digits before the point, or one fewer.
  const excess = digitsBefore(BigInt(above), BigInt(below));
  const shift = significantDigits - Math.ceil(excess / 2);
  const scale = 10n ** BigInt(Math.abs(shift));
  const n = shift >= 0 ? BigInt(above) * scale * scale : BigInt(above);
  const d = shift >= 0 ? BigInt(below) : BigInt(below) * scale * scale;
  const root = wholeRoot(n / d);
  const isMore = rounding === 'up' ? root * root * d < n : (2n * root + 1n) ** 2n * d <= 4n * n;
  const rounded = isMore ? root + 1n : root;
  return shift >= 0 ? Rational.of(rounded, scale) : Rational.of(rounded * scale);
}

/** The least e for which the fraction n/d is below 10^e. */
function digitsBefore(n: bigint, d: bigint): number {
  const guess = `${n}`.length - `${d}`.length;
  const isBelow = guess >= 0 ? n < d * 10n ** BigInt(guess) : n * 10n ** BigInt(-guess) < d;
  return isBelow ? guess : guess + 1;
}

/** The largest whole number whose square is not above n, by Newton's steps from above. */
function wholeRoot(n: bigint): bigint {
  if (n < 2n) return n;
  let root = 1n << BigInt(Math.ceil(n.toString(2).length / 2));
  for (;;) {
    const next = (root + n / root) / 2n;
    if (next >= root) return root;
    root = next;
  }
}
