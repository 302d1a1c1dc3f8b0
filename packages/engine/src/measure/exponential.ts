/** Powers of two from 2⁰ down to the least double, by halving, which is exact. */
const halves = new Float64Array(1075);
for (let i = 0, power = 1; i < halves.length; i++, power /= 2) halves[i] = power;

/** ln 2 in two parts (Cody and Waite): a multiple of the first by any exponent of a double is exact. */
const LN2_HIGH = 0.6931471803691238;
const LN2_LOW = 1.9082149292705877e-10;

/**
 * e to the power `x + rest`, for a sum that is not above 0; `rest` holds what `x` lost to rounding. Right to about
 * 2e-16 of the result. Only operations that IEEE 754 rounds correctly, so that all machines agree: what is left after
 * whole powers of two goes through the Padé approximant [6/6] of the exponential, whose own error there is below 2e-19.
 */
export function exponential(x: number, rest = 0): number {
  if (!(x > -746)) return Number.isNaN(x) ? x : 0;
  const power = Math.floor((x + rest) * Math.LOG2E + 0.5);
  const r = x - power * LN2_HIGH + (rest - power * LN2_LOW);
  const r2 = r * r;
  const even = 1 + r2 * (5 / 44 + r2 * (1 / 792 + r2 / 665280));
  const odd = r * (1 / 2 + r2 * (1 / 66 + r2 / 15840));
  return (1 + (2 * odd) / (even - odd)) * (halves[-power] ?? 0);
}
