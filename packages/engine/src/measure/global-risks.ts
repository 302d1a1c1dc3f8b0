import { normalCumulative, normalDensity } from './normal.ts';

/** What is known of the things that are measured before any is: how their true values are spread. */
export type Prior =
  | { readonly prior: 'normal'; readonly mean: number; readonly standardDeviation: number }
  | { readonly prior: 'gamma'; readonly shape: number; readonly scale: number }
  /** Any density, and the interval outside of which it is as good as nothing. */
  | {
      readonly prior: 'density';
      readonly density: (value: number) => number;
      readonly from: number;
      readonly until: number;
    };

/** An interval with one or two ends; they belong to it. */
export interface Interval {
  readonly low?: number;
  readonly high?: number;
}

export interface GlobalRisks {
  /** How many of all do not conform. */
  readonly nonconforming: number;
  /** How many of all do not conform and are accepted: the global consumer's risk. */
  readonly falseAcceptance: number;
  /** How many of all conform and are rejected: the global producer's risk. */
  readonly falseRejection: number;
}

/**
 * The global risks of a measurement (JCGM 106, 9.5), as probabilities: how often what does not
 * conform will be accepted, and what conforms rejected. `uncertainty` is the standard uncertainty of the measurement,
 * normally distributed and the same everywhere; all values in one unit. Integrated numerically, right to about 1e-10.
 *
 * For planning, never for a verdict: nothing is decided by these numbers, so they may use the functions of Math, which
 * can differ between machines in the last digits.
 */
export function globalRisks(given: {
  readonly prior: Prior;
  readonly tolerance: Interval;
  readonly acceptance: Interval;
  readonly uncertainty: number;
}): GlobalRisks {
  const { tolerance, acceptance, uncertainty } = given;
  const { density, from, until } = known(given.prior);
  const low = Math.max(from, tolerance.low ?? from);
  const high = Math.min(until, tolerance.high ?? until);
  const accepted = (value: number): number => {
    const a =
      acceptance.low === undefined ? Number.NEGATIVE_INFINITY : (acceptance.low - value) / uncertainty;
    const b =
      acceptance.high === undefined ? Number.POSITIVE_INFINITY : (acceptance.high - value) / uncertainty;
    if (a > 0) return normalCumulative(-a) - normalCumulative(-b);
    return normalCumulative(b) - normalCumulative(a);
  };
  const rejected = (value: number): number => {
    const below = acceptance.low === undefined ? 0 : normalCumulative((acceptance.low - value) / uncertainty);
    const above =
      acceptance.high === undefined ? 0 : normalCumulative((value - acceptance.high) / uncertainty);
    return below + above;
  };
  const over = (f: (value: number) => number, a: number, b: number): number =>
    integral((value) => density(value) * f(value), a, b, breaks(acceptance, uncertainty));
  const outside = (f: (value: number) => number): number =>
    low >= high ? over(f, from, until) : over(f, from, low) + over(f, high, until);
  return {
    nonconforming: outside(() => 1),
    falseAcceptance: outside(accepted),
    falseRejection: low >= high ? 0 : over(rejected, low, high),
  };
}

/** Where the chance to be accepted changes: the acceptance limits and some way to both sides of them. */
function breaks({ low, high }: Interval, uncertainty: number): readonly number[] {
  return [low, high].flatMap((limit) =>
    limit === undefined ? [] : [-8, -3, 0, 3, 8].map((times) => limit + times * uncertainty),
  );
}

/** A prior as a density, with the interval that holds all but 1e-15 of it. */
function known(prior: Prior): Extract<Prior, { prior: 'density' }> {
  switch (prior.prior) {
    case 'density':
      return prior;
    case 'normal': {
      const { mean, standardDeviation: s } = prior;
      const density = (value: number): number => normalDensity((value - mean) / s) / s;
      return { prior: 'density', density, from: mean - 9 * s, until: mean + 9 * s };
    }
    case 'gamma': {
      const { shape, scale } = prior;
      const factor = -logarithmOfGamma(shape) - Math.log(scale);
      const density = (value: number): number =>
        value <= 0 ? 0 : Math.exp((shape - 1) * Math.log(value / scale) - value / scale + factor);
      return { prior: 'density', density, from: 0, until: scale * (shape + 12 * Math.sqrt(shape) + 40) };
    }
  }
}

/** ln Γ(x) by Stirling's series (DLMF 5.11.1), after moving x to where five of its terms are enough. */
function logarithmOfGamma(x: number): number {
  let moved = x;
  let product = 1;
  for (; moved < 20; moved += 1) product *= moved;
  const q = 1 / (moved * moved);
  const series = (1 / 12 - q * (1 / 360 - q * (1 / 1260 - q * (1 / 1680 - q / 1188)))) / moved;
  return (moved - 0.5) * Math.log(moved) - moved + Math.log(2 * Math.PI) / 2 + series - Math.log(product);
}

/**
 * Gauss–Legendre with ten points, on pieces that are halved until both halves agree with the whole. Between the given
 * breaks, and 24 pieces to begin with, so that no narrow peak is stepped over.
 */
function integral(f: (x: number) => number, a: number, b: number, breaks: readonly number[]): number {
  if (!(a < b)) return 0;
  const grid = Array.from({ length: 25 }, (_, i) => a + ((b - a) * i) / 24);
  const ends = [...grid, ...breaks.filter((x) => x > a && x < b)].sort((x, y) => x - y);
  let sum = 0;
  for (const [i, end] of ends.entries()) {
    const start = i === 0 ? a : (ends[i - 1] ?? a);
    if (start < end) sum += refined(f, start, end, gauss(f, start, end), 0);
  }
  return sum;
}

function refined(f: (x: number) => number, a: number, b: number, whole: number, depth: number): number {
  const middle = (a + b) / 2;
  const left = gauss(f, a, middle);
  const right = gauss(f, middle, b);
  if (depth > 30 || Math.abs(left + right - whole) <= 1e-13 * Math.abs(whole) + 1e-17) return left + right;
  return refined(f, a, middle, left, depth + 1) + refined(f, middle, b, right, depth + 1);
}

/** Abscissas and weights of the Gauss–Legendre rule with ten points (DLMF, table 3.5.2). */
const points: readonly (readonly [number, number])[] = [
  [0.14887433898163122, 0.29552422471475287],
  [0.4333953941292472, 0.26926671930999635],
  [0.6794095682990244, 0.21908636251598204],
  [0.8650633666889845, 0.1494513491505806],
  [0.9739065285171717, 0.06667134430868814],
];

function gauss(f: (x: number) => number, a: number, b: number): number {
  const middle = (a + b) / 2;
  const half = (b - a) / 2;
  let sum = 0;
  for (const [x, weight] of points) sum += weight * (f(middle - half * x) + f(middle + half * x));
  return sum * half;
}
