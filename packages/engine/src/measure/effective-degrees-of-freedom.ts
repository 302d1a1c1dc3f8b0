import { Rational } from '../quantity/index.ts';

/** A part of a variance that was estimated with so many degrees of freedom. */
export interface Estimated {
  /** The square of coefficient times standard uncertainty. */
  readonly variance: Rational;
  readonly degreesOfFreedom: number;
}

const MILLION = 1_000_000;
/** How far a double has to be from a whole thousandth before the exact quotient can be left out. */
const SURE = 1e-9;

/**
 * The effective degrees of freedom of a combined variance, by Welch and Satterthwaite (JCGM 100 G.4.1, equation G.2b),
 * from variances that nobody rounded. `variance` is the whole, `estimated` its parts with finite degrees of freedom; the
 * rest counts as known. Infinity when no part was estimated, 0 when one was estimated from a single reading. Cut, never
 * rounded, to a thousandth, so that what comes to a whole number stays one.
 */
export function effectiveDegreesOfFreedom(variance: Rational, estimated: readonly Estimated[]): number {
  const whole = variance.toNumber();
  let sum = 0;
  for (const part of estimated) {
    if (part.degreesOfFreedom === Number.POSITIVE_INFINITY || part.variance.sign === 0) continue;
    if (!(part.degreesOfFreedom > 0)) return 0;
    const share = part.variance.toNumber() / whole;
    sum += (share * share) / part.degreesOfFreedom;
  }
  if (sum === 0) return Number.POSITIVE_INFINITY;
  const thousandths = 1000 / sum;
  const isSure = Math.abs(thousandths - Math.floor(thousandths + 0.5)) > SURE * thousandths;
  return (isSure ? Math.floor(thousandths) : exactThousandths(variance, estimated)) / 1000;
}

function exactThousandths(variance: Rational, estimated: readonly Estimated[]): number {
  let sum = Rational.zero;
  for (const part of estimated) {
    if (part.degreesOfFreedom === Number.POSITIVE_INFINITY) continue;
    const share = part.variance.over(variance);
    const millionths = Math.floor(part.degreesOfFreedom * MILLION + 0.5);
    sum = sum.plus(share.times(share).times(Rational.of(MILLION, millionths)));
  }
  return Rational.of(1000).over(sum).floor().toNumber();
}
