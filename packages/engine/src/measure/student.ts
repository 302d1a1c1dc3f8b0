import { Rational } from '../quantity/index.ts';
import { exponential } from './exponential.ts';
import { inverseOfTail } from './inverse-of-tail.ts';
import { normalCumulative, normalQuantile } from './normal.ts';

/**
 * The probability that a variable with Student's t distribution is not above `t`. Degrees of freedom are cut to a whole
 * number, as JCGM 100 G.4.1 has it; infinitely many are the normal distribution; NaN for fewer than one. Right to about
 * 1e-15, and in the lower tail to about 1e-12 of itself.
 */
export function studentCumulative(t: number, degreesOfFreedom: number): number {
  const nu = Math.floor(degreesOfFreedom);
  if (nu === Number.POSITIVE_INFINITY) return normalCumulative(t);
  if (!(nu >= 1) || Number.isNaN(t)) return Number.NaN;
  const inTail = tail(Math.abs(t), nu, scaleOf(nu));
  return t < 0 ? inTail : 1 - inTail;
}

/** The `t` that is passed with probability `p` (up to a half); NaN for fewer than one degree of freedom. */
export function studentTailQuantile(p: number, degreesOfFreedom: number): number {
  const nu = Math.floor(degreesOfFreedom);
  if (nu === Number.POSITIVE_INFINITY) return -normalQuantile(p);
  if (!(nu >= 1 && p >= 0 && p <= 0.5)) return Number.NaN;
  const scale = scaleOf(nu);
  return inverseOfTail(
    (t) => tail(t, nu, scale),
    (t) => density(t, nu, scale),
    p,
  );
}

/**
 * The coverage factor of a symmetric interval with this coverage probability (JCGM 100 G.3.2): of the t distribution
 * for finite degrees of freedom, else of the normal. Undefined for fewer than one degree of freedom.
 */
export function coverageFactor(
  probability: number,
  degreesOfFreedom = Number.POSITIVE_INFINITY,
): number | undefined {
  const k = studentTailQuantile((1 - probability) / 2, degreesOfFreedom);
  return Number.isNaN(k) ? undefined : k;
}

/** The coverage probability of expanded uncertainties: k = 2 for many degrees of freedom (JCGM 100 G.6.6, Table G.2). */
const COVERAGE_PROBABILITY = 0.9545;

const onGrid = new Map<number, Rational>();

/**
 * The coverage factor for a coverage probability of 95.45 %, held on a grid of 0.01 and rounded up. Before that it is
 * rounded to four decimals, so that the 2.000002 of infinitely many degrees of freedom is 2 and no more. Degrees of
 * freedom below one, which nothing that was estimated has, are taken as one.
 */
export function coverageFactorOnGrid(degreesOfFreedom = Number.POSITIVE_INFINITY): Rational {
  const nu = degreesOfFreedom >= 1 ? Math.floor(degreesOfFreedom) : 1;
  const known = onGrid.get(nu);
  if (known !== undefined) return known;
  const k = studentTailQuantile((1 - COVERAGE_PROBABILITY) / 2, nu);
  const held = Rational.of(-Math.floor(-Math.floor(k * 10_000 + 0.5) / 100), 100);
  if (onGrid.size < 10_000) onGrid.set(nu, held);
  return held;
}

/**
 * Γ((ν+1)/2) / (Γ(ν/2) √(νπ)), by which the density is scaled. For few degrees of freedom by Γ(x+1) = xΓ(x); for more
 * by the expansion of the quotient in even powers of ν/2 − 1/4, to five terms (from DLMF 5.11.14; error below 1e-17).
 */
function scaleOf(nu: number): number {
  if (nu < 60) {
    let quotient = nu % 2 === 0 ? Math.sqrt(Math.PI) / 2 : 1 / Math.sqrt(Math.PI);
    for (let n = nu % 2 === 0 ? 2 : 1; n < nu; n += 2) quotient *= (n + 1) / n;
    return quotient / Math.sqrt(nu * Math.PI);
  }
  const w = nu / 2 - 0.25;
  const q = 1 / (w * w);
  const series = 1 + q * (1 / 64 + q * (-19 / 8192 + q * (631 / 524288 - q * (174317 / 134217728))));
  return series * Math.sqrt(w / (nu * Math.PI));
}

function density(t: number, nu: number, scale: number): number {
  const r = t / Math.sqrt(nu);
  return scale * falling(r, nu) * cosine(r);
}

/** 1/√(1 + r²), the cosine of the angle whose tangent is r. */
const cosine = (r: number): number => (r > 1e9 ? 1 / r : 1 / Math.sqrt(1 + r * r));

/** (1 + r²)^(−ν/2): by squaring, or for small r by the logarithm as a series, since squaring adds up its errors. */
function falling(r: number, nu: number): number {
  const y = r * r;
  if (y > 0.25) {
    let result = 1;
    for (let power = cosine(r), left = nu; left > 0; left = Math.floor(left / 2), power *= power)
      if (left % 2 === 1) result *= power;
    return result;
  }
  // ln(1 + y) = 2 artanh(y / (2 + y)), which is at most artanh(1/9).
  const w = y / (2 + y);
  const q = w * w;
  let series = 0;
  for (let n = 17; n >= 1; n -= 2) series = series * q + 1 / n;
  return exponential(-nu * w * series);
}

/**
 * The probability that `t`, from 0 on, is passed. Near the centre a half less a series of positive terms (incomplete
 * beta function, DLMF 8.17.8), farther out a continued fraction.
 */
function tail(t: number, nu: number, scale: number): number {
  if (t === Number.POSITIVE_INFINITY) return 0;
  const front = t * density(t, nu, scale);
  const r = t / Math.sqrt(nu);
  const y = r > 1 ? 1 / (1 + 1 / (r * r)) : (r * r) / (1 + r * r);
  if (t < 2) {
    let term = 1;
    let sum = 1;
    for (let k = 0; term > 1e-17 * sum; k++) {
      term *= ((nu + 1 + 2 * k) / (3 + 2 * k)) * y;
      sum += term;
    }
    return 0.5 - front * sum;
  }
  const c = cosine(r);
  return front / 2 / betaFraction(nu / 2, c * c, y);
}

/**
 * x^a √y / B(a, ½) over the incomplete beta function of x = 1 − y, as a continued fraction by the method of Lentz: the
 * even part of DLMF 8.17.22, written with y where x would cancel (A. R. DiDonato and A. H. Morris, ACM Trans. Math.
 * Softw. 18 (1992) 360–373, equation 9).
 */
function betaFraction(a: number, x: number, y: number): number {
  const partial = (n: number): number =>
    n + ((a + n) * (0.5 + (a + 0.5) * y + n * (1 + y))) / (a + 2 * n + 1);
  let result = partial(0);
  let c = result;
  let d = 0;
  for (let n = 1; n < 10_000; n++) {
    const over = a + 2 * n - 1;
    const above = ((a + n - 1) / over) * ((a + n - 0.5) / over) * n * (0.5 - n) * x * x;
    const below = partial(n) + (n * (0.5 - n) * x) / over;
    d = 1 / (below + above * d);
    c = below + above / c;
    result *= c * d;
    if (Math.abs(c * d - 1) < 2e-16) break;
  }
  return result;
}
