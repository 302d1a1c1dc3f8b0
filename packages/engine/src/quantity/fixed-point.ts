import { Rational } from './rational.ts';

/**
 * Fixed-point numbers: a bigint that stands for itself / 2^192. The functions of `Math` may differ in their last
 * digits between JavaScript engines, and a figure on a job card may not; integers cannot differ.
 */
const BITS = 192n;
export const ONE = 1n << BITS;

/** π to 80 digits, truncated; 2^-192 needs 58. */
const PI =
  (314159265358979323846264338327950288419716939937510582097494459230781640628620899n * ONE) / 10n ** 80n;
const QUARTER_TURN = Rational.of(90);
const HALF = Rational.of(1, 2);

/** The exact value, rounded down to the fixed point: an error below 2^-192. */
export function toFixed(value: Rational): bigint {
  return BigInt(value.times(Rational.of(ONE)).toDecimal(0, 'down'));
}

export function fromFixed(value: bigint): Rational {
  return Rational.of(value, ONE);
}

export function multiply(a: bigint, b: bigint): bigint {
  return (a * b) >> BITS;
}

export function divide(a: bigint, b: bigint): bigint {
  return (a << BITS) / b;
}

/**
 * Square root, rounded down; of a negative number, which only rounding can have made, 0. An error of 2^-190 in
 * the radicand becomes at most 2^-95 in the root, when that is near 0.
 */
export function squareRoot(value: bigint): bigint {
  if (value <= 0n) return 0n;
  const radicand = value << BITS;
  let root = 1n << BigInt((radicand.toString(2).length + 1) >> 1);
  // Newton's iteration from above falls strictly until it has reached the integer root.
  for (;;) {
    const next = (root + radicand / root) >> 1n;
    if (next >= root) return root;
    root = next;
  }
}

/** Sine and cosine of an angle in degrees, each with an error below 2^-180; exact at multiples of 90°. */
export function sineAndCosine(degrees: Rational): { readonly sine: bigint; readonly cosine: bigint } {
  const quarters = degrees.over(QUARTER_TURN).plus(HALF).floor();
  const rest = degrees.minus(quarters.times(QUARTER_TURN));
  // |rest| ≤ 45°, so the terms of the series fall from the start: about 40 of them reach 2^-192.
  const x = multiply(toFixed(rest.over(Rational.of(180))), PI);
  let sine = 0n;
  let cosine = 0n;
  let term = ONE;
  for (let n = 0n; term !== 0n && term !== -1n; n++) {
    const sign = n % 4n < 2n ? 1n : -1n;
    if (n % 2n === 0n) cosine += sign * term;
    else sine += sign * term;
    term = multiply(term, x) / (n + 1n);
  }
  switch (quarters.mod(Rational.of(4)).toNumber()) {
    case 0:
      return { sine, cosine };
    case 1:
      return { sine: cosine, cosine: -sine };
    case 2:
      return { sine: -sine, cosine: -cosine };
    default:
      return { sine: -cosine, cosine: sine };
  }
}

/** The angle, degrees in (−180, 180], whose sine and cosine are given; an error below 2^-85 for unit vectors. */
export function angleOf({ sine, cosine }: { readonly sine: bigint; readonly cosine: bigint }): Rational {
  const magnitude = (value: bigint) => (value < 0n ? -value : value);
  const sideways = magnitude(sine) > magnitude(cosine);
  let degrees = sideways ? Rational.of(sine < 0n ? -90 : 90) : Rational.of(cosine < 0n ? 180 : 0);
  // Adding the sine of the error cubes the error: at most 45° at first, it is below 2^-192 after six rounds.
  for (let round = 0; round < 6; round++) {
    const at = sineAndCosine(degrees);
    const sineOfError = multiply(sine, at.cosine) - multiply(cosine, at.sine);
    const error = divide(sineOfError * 180n, PI);
    degrees = fromFixed(toFixed(degrees) + error);
  }
  return degrees.compare(Rational.of(180)) > 0 ? degrees.minus(Rational.of(360)) : degrees;
}

/** To the nearest multiple of a grid, half-way up. */
export function toGrid(value: Rational, grid: Rational): Rational {
  return value.over(grid).plus(HALF).floor().times(grid);
}
