import { exponential } from './exponential.ts';
import { inverseOfTail } from './inverse-of-tail.ts';

const INVERSE_ROOT_OF_TWO_PI = 0.3989422804014327;

/**
 * Density of the standard normal distribution. The square of `z` is split, so that the density keeps its accuracy
 * where it is small: the square of what lies on a grid of 1/16 is exact.
 */
export function normalDensity(z: number): number {
  const size = Math.abs(z);
  if (size > 40) return 0;
  const onGrid = Math.floor(size * 16) / 16;
  return (
    INVERSE_ROOT_OF_TWO_PI * exponential((onGrid * onGrid) / -2, ((size - onGrid) * (size + onGrid)) / -2)
  );
}

/**
 * The probability that a standard normal variable is not above `z`. Right to about 1e-16, and in the lower tail to
 * about 1e-15 of itself as long as a double can hold it (`z` > -37.5).
 *
 * By the rational minimax approximations of W. J. Cody, Rational Chebyshev approximations for the error function,
 * Math. Comp. 23 (1969) 631–637, with the coefficients for the normal distribution that he published as
 * Algorithm 715, ACM Trans. Math. Softw. 19 (1993) 22–30.
 */
export function normalCumulative(z: number): number {
  const size = Math.abs(z);
  if (size <= 0.66291) return 0.5 + z * centre(z * z);
  const tail = normalDensity(size) * mills(size);
  return z < 0 ? tail : 1 - tail;
}

/** What `z` adds to a half, divided by `z`, from the square of `z`. */
function centre(q: number): number {
  const above =
    (((0.06568233791820745 * q + 2.2352520354606837) * q + 161.02823106855587) * q + 1067.6894854603709) * q +
    18154.98125334356;
  const below =
    (((q + 47.202581904688245) * q + 976.0985517377767) * q + 10260.932208618979) * q + 45507.78933502673;
  return above / below;
}

/** Tail over density (the ratio of Mills) for `z` above 0.66; Cody's approximations have the factor 1/√2π in them. */
function mills(z: number): number {
  if (z <= 5.656854249492381) {
    const above =
      (((((((1.0765576773720192e-8 * z + 0.39894151208813466) * z + 8.883149794388377) * z +
        93.50665613217785) *
        z +
        597.2702763948002) *
        z +
        2494.5375852903726) *
        z +
        6848.190450536283) *
        z +
        11602.65143764735) *
        z +
      9842.714838383978;
    const below =
      (((((((z + 22.266688044328117) * z + 235.387901782625) * z + 1519.3775994075547) * z +
        6485.558298266761) *
        z +
        18615.571640885097) *
        z +
        34900.95272114598) *
        z +
        38912.00328609327) *
        z +
      19685.429676859992;
    return above / below / INVERSE_ROOT_OF_TWO_PI;
  }
  const q = 1 / (z * z);
  const above =
    ((((0.023073441764940174 * q + 0.215898534057957) * q + 0.12740116116024736) * q + 0.022235277870649807) *
      q +
      0.0014216191932278934) *
      q +
    2.9112874951168793e-5;
  const below =
    ((((q + 1.284260096144911) * q + 0.4682382124808651) * q + 0.06598813786892856) * q +
      0.0037823963320275824) *
      q +
    7.297515550839662e-5;
  return (1 - (q * above) / below / INVERSE_ROOT_OF_TWO_PI) / z;
}

/**
 * The `z` that a standard normal variable does not pass with probability `p`: the inverse of `normalCumulative`, right
 * to about 1e-15. -∞ for 0, ∞ for 1; NaN for what is no probability. A `p` near 1 has lost its tail to rounding:
 * ask for `1 - p` where that is known.
 */
export function normalQuantile(p: number): number {
  if (!(p >= 0 && p <= 1)) return Number.NaN;
  return p < 0.5
    ? -inverseOfTail((z) => normalCumulative(-z), normalDensity, p)
    : inverseOfTail((z) => normalCumulative(-z), normalDensity, 1 - p);
}
