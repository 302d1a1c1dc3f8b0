import { Rational } from '../quantity/index.ts';
import { firingAngles, type Phasing } from './phasing.ts';

export interface StrokePosition {
  /** The stroke between dead centres, a dead centre counting as the start of the stroke that follows it. */
  readonly stroke: 'power' | 'exhaust' | 'intake' | 'compression';
  /** The nearer TDC; half-way, at BDC, the one that the piston moves towards. */
  readonly nearest: 'firing' | 'exhaust';
  /** Degrees after (positive) or before (negative) that TDC, in [−180, 180). */
  readonly offset: Rational;
}

const HALF_TURN = Rational.of(180);
const FULL_TURN = Rational.of(360);

/**
 * The stroke of a cylinder at a crank position (any angle, taken modulo the cycle), and its nearer TDC.
 * A two-stroke cylinder has power and compression strokes and a firing TDC only.
 * Undefined for a cylinder that is not in the firing order. The phasing must be free of faults.
 */
export function strokeAt(phasing: Phasing, cylinder: number, position: Rational): StrokePosition | undefined {
  const fires = firingAngles(phasing).get(cylinder);
  if (!fires) return undefined;
  const sinceFiring = position.minus(fires).mod(phasing.cycle);
  const offset = sinceFiring.plus(HALF_TURN).mod(FULL_TURN).minus(HALF_TURN);
  const falling = offset.sign >= 0;
  const firing = sinceFiring.minus(offset).mod(phasing.cycle).sign === 0;
  if (firing) return { stroke: falling ? 'power' : 'compression', nearest: 'firing', offset };
  return { stroke: falling ? 'intake' : 'exhaust', nearest: 'exhaust', offset };
}
