import type { Rational } from '../quantity/index.ts';
import { firingAngles, type Phasing } from './phasing.ts';

export interface FollowerPosition {
  readonly onBaseCircle: boolean;
  /**
   * Degrees of crank rotation to the nearer end of the off-base span: positive outside it, on the base circle;
   * zero at its ends and negative inside, off the base circle. So `onBaseCircle` is `margin > 0`.
   */
  readonly margin: Rational;
}

/**
 * Where the pump follower of a cylinder is at a crank position (any angle; it is taken modulo the cycle).
 * Undefined for a cylinder that is not in the firing order. The phasing must be free of faults.
 */
export function followerAt(
  phasing: Phasing,
  cylinder: number,
  position: Rational,
): FollowerPosition | undefined {
  const fires = firingAngles(phasing).get(cylinder);
  return fires && followerAfter(phasing, position.minus(fires));
}

/** The same, from the degrees since the cylinder's own firing TDC. */
export function followerAfter(phasing: Phasing, sinceFiring: Rational): FollowerPosition {
  const { cycle, offBase } = phasing;
  const span = offBase.from.plus(offBase.until);
  const intoSpan = sinceFiring.plus(offBase.from).mod(cycle);
  const pastSpan = intoSpan.minus(span);
  const onBaseCircle = pastSpan.sign > 0;
  return onBaseCircle
    ? { onBaseCircle, margin: lesser(pastSpan, cycle.minus(intoSpan)) }
    : { onBaseCircle, margin: lesser(intoSpan, pastSpan.negated()).negated() };
}

function lesser(a: Rational, b: Rational): Rational {
  return a.compare(b) <= 0 ? a : b;
}
