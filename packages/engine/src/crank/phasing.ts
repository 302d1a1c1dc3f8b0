import { Rational } from '../quantity/index.ts';

/**
 * How the cylinders of an engine follow one another, and where a cylinder's pump follower is lifted.
 *
 * A crank position is in degrees of crankshaft rotation in the running direction since firing TDC of
 * cylinder 1, in [0, cycle). With a cycle of 720° (four-stroke), TDC 1 on the exhaust stroke is 360°.
 */
export interface Phasing {
  readonly cylinders: number;
  /** Cylinders in the order in which they fire. It may start at any of them. */
  readonly firingOrder: readonly number[];
  /** For uneven intervals: the firing angle of each entry of `firingOrder`, rising, in [0, cycle). */
  readonly firesAt?: readonly Rational[];
  /** 720° for four-stroke, 360° for two-stroke. */
  readonly cycle: Rational;
  /** Degrees before (`from`) to degrees after (`until`) the cylinder's own firing TDC; ends included. */
  readonly offBase: { readonly from: Rational; readonly until: Rational };
}

export type PhasingFault =
  | { readonly fault: 'cylinder-count'; readonly cylinders: number; readonly most: number }
  | { readonly fault: 'cycle'; readonly cycle: Rational }
  | { readonly fault: 'not-a-cylinder'; readonly cylinder: number }
  | { readonly fault: 'repeated-cylinder'; readonly cylinder: number }
  | { readonly fault: 'missing-cylinder'; readonly cylinder: number }
  | { readonly fault: 'firing-angle-count'; readonly expected: number; readonly found: number }
  | { readonly fault: 'firing-angle-outside-cycle'; readonly angle: Rational }
  | { readonly fault: 'firing-angles-not-rising'; readonly angle: Rational }
  | { readonly fault: 'span-reversed'; readonly span: Rational }
  | { readonly fault: 'span-fills-cycle'; readonly span: Rational };

/** More cylinders than any inline or vee engine has; keeps planning within bounds whatever a pack says. */
export const MOST_CYLINDERS = 32;

const TWO_STROKE = Rational.of(360);
const FOUR_STROKE = Rational.of(720);

/** Everything that is wrong with a phasing; empty when the other functions of the crank may be used on it. */
export function phasingFaults(phasing: Phasing): readonly PhasingFault[] {
  const { cylinders, firingOrder, firesAt, cycle, offBase } = phasing;
  if (!Number.isInteger(cylinders) || cylinders < 1 || cylinders > MOST_CYLINDERS)
    return [{ fault: 'cylinder-count', cylinders, most: MOST_CYLINDERS }];
  if (!cycle.equals(FOUR_STROKE) && !cycle.equals(TWO_STROKE)) return [{ fault: 'cycle', cycle }];

  const faults: PhasingFault[] = [];
  const seen = new Set<number>();
  for (const cylinder of firingOrder) {
    if (!Number.isInteger(cylinder) || cylinder < 1 || cylinder > cylinders)
      faults.push({ fault: 'not-a-cylinder', cylinder });
    else if (seen.has(cylinder)) faults.push({ fault: 'repeated-cylinder', cylinder });
    seen.add(cylinder);
  }
  for (let cylinder = 1; cylinder <= cylinders; cylinder++)
    if (!seen.has(cylinder)) faults.push({ fault: 'missing-cylinder', cylinder });

  if (firesAt && firesAt.length !== firingOrder.length)
    faults.push({ fault: 'firing-angle-count', expected: firingOrder.length, found: firesAt.length });
  firesAt?.forEach((angle, i) => {
    const before = firesAt[i - 1];
    if (angle.compare(Rational.zero) < 0 || angle.compare(cycle) >= 0)
      faults.push({ fault: 'firing-angle-outside-cycle', angle });
    else if (before && angle.compare(before) <= 0) faults.push({ fault: 'firing-angles-not-rising', angle });
  });

  const span = offBase.from.plus(offBase.until);
  if (span.compare(Rational.zero) < 0) faults.push({ fault: 'span-reversed', span });
  if (span.compare(cycle) >= 0) faults.push({ fault: 'span-fills-cycle', span });
  return faults;
}

/**
 * The crank position at which each cylinder fires, degrees in [0, cycle); cylinder 1 at 0 wherever the
 * order starts. Intervals are even, cycle / cylinders, unless the phasing states its angles.
 */
export function firingAngles(phasing: Phasing): ReadonlyMap<number, Rational> {
  const { firingOrder, firesAt, cycle } = phasing;
  const interval = cycle.over(Rational.of(firingOrder.length));
  const inOrder = firingOrder.map((_, i) => firesAt?.[i] ?? interval.times(Rational.of(i)));
  const first = inOrder[firingOrder.indexOf(1)] ?? Rational.zero;
  return new Map(
    firingOrder.map(
      (cylinder, i) => [cylinder, (inOrder[i] ?? Rational.zero).minus(first).mod(cycle)] as const,
    ),
  );
}

/**
 * The camshaft angle, degrees in [0, 360), at a crank position: the camshaft turns once per cycle, so at half
 * crankshaft speed in a four-stroke (DOE-HDBK-1018/1-93) and at crankshaft speed in a two-stroke.
 */
export function camAngle(phasing: Phasing, position: Rational): Rational {
  return position.mod(phasing.cycle).times(TWO_STROKE).over(phasing.cycle);
}
