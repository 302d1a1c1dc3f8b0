import { Rational } from '../quantity/index.ts';
import { effectiveDegreesOfFreedom } from './effective-degrees-of-freedom.ts';
import { coverageFactorOnGrid } from './student.ts';

/** The combined uncertainty of a value (JCGM 100, 5): u² exactly, in squares of the base unit. */
export interface Uncertainty {
  readonly variance: Rational;
  /** Effective degrees of freedom; Infinity where nothing was estimated from few readings. */
  readonly degreesOfFreedom: number;
  /** k of the expanded uncertainty U = k·u for a coverage probability of 95.45 %, on a grid of 0.01. */
  readonly coverageFactor: Rational;
}

/** One reading that enters a value, and what is known about it. All in base units. */
export interface UncertainReading {
  /** How much the value changes with this reading: its sensitivity coefficient (JCGM 100, 5.1.3). */
  readonly coefficient: Rational;
  /** Smallest difference that was shown. */
  readonly resolution: Rational;
  /** Maximum permissible error ±a at this indication. */
  readonly halfWidth?: Rational;
  /** The part of it that all readings with the same instrument have in common, where that is stated. */
  readonly commonHalfWidth?: Rational;
  /** Standard uncertainty from the calibration certificate: U/k. */
  readonly calibration?: { readonly standard: Rational; readonly degreesOfFreedom?: number };
  /** From repeats: the variance of what was taken of them, and n − 1. */
  readonly repeatability?: { readonly variance: Rational; readonly degreesOfFreedom: number };
  /** The kind of instrument and, if it is known which one it was, its identity. */
  readonly kind: string;
  readonly identity?: string;
}

const TWELFTH = Rational.of(1, 12);
const THIRD = Rational.of(1, 3);

/**
 * Combines the uncertainties of the readings of one value by first-order propagation (JCGM 100, 5.1.2 and 5.2.2).
 *
 * Resolution (d²/12, F.2.2.1) and repeatability (4.2.3) are each reading's own. The errors of an instrument may be the
 * same at all of its readings, or not: what the pack states as common is taken as wholly shared, so that it cancels in
 * a difference, and the rest as independent. Where nothing is stated the worse of the two is taken, so that neither a
 * difference nor a mean comes out better than somebody can answer for.
 */
export function combine(readings: readonly UncertainReading[]): Uncertainty {
  let variance = Rational.zero;
  const estimated: { variance: Rational; degreesOfFreedom: number }[] = [];
  const instruments = new Map<string, UncertainReading[]>();
  for (const reading of readings) {
    const weight = reading.coefficient.times(reading.coefficient);
    variance = variance.plus(weight.times(reading.resolution).times(reading.resolution).times(TWELFTH));
    if (reading.repeatability !== undefined) {
      const own = weight.times(reading.repeatability.variance);
      variance = variance.plus(own);
      estimated.push({ variance: own, degreesOfFreedom: reading.repeatability.degreesOfFreedom });
    }
    const same = instruments.get(reading.kind);
    if (same === undefined) instruments.set(reading.kind, [reading]);
    else same.push(reading);
  }
  for (const ofKind of instruments.values()) {
    for (const group of byIdentity(ofKind)) {
      variance = variance.plus(permissible(group).times(THIRD));
      const certified = worse(
        group.map((one) => one.coefficient.times(one.calibration?.standard ?? Rational.zero)),
      );
      variance = variance.plus(certified);
      const degreesOfFreedom = Math.min(
        ...group.map((one) => one.calibration?.degreesOfFreedom ?? Number.POSITIVE_INFINITY),
      );
      if (certified.sign > 0 && degreesOfFreedom !== Number.POSITIVE_INFINITY)
        estimated.push({ variance: certified, degreesOfFreedom });
    }
  }
  // At least one: each part that was estimated has one or more, and nothing has fewer than the least of its parts.
  const degreesOfFreedom = Math.max(1, effectiveDegreesOfFreedom(variance, estimated));
  return {
    variance,
    degreesOfFreedom,
    coverageFactor: coverageFactorOnGrid(degreesOfFreedom) ?? Rational.of(2),
  };
}

/** Readings that one instrument may have taken. One whose identity is not known may be any of its kind. */
function byIdentity(readings: readonly UncertainReading[]): readonly (readonly UncertainReading[])[] {
  if (readings.some((one) => one.identity === undefined)) return [readings];
  const groups = new Map<string, UncertainReading[]>();
  for (const reading of readings) {
    const same = groups.get(reading.identity ?? '');
    if (same === undefined) groups.set(reading.identity ?? '', [reading]);
    else same.push(reading);
  }
  return [...groups.values()];
}

/** Three times the variance that the permissible errors of one instrument give. */
function permissible(group: readonly UncertainReading[]): Rational {
  const errors = group.map((one) => one.coefficient.times(one.halfWidth ?? Rational.zero));
  const isStated = group.every((one) => one.commonHalfWidth !== undefined && one.identity !== undefined);
  if (!isStated) return worse(errors);
  const common = group.map((one) => one.coefficient.times(one.commonHalfWidth ?? Rational.zero));
  // What is common and what is not add up to the whole for one reading alone.
  return squares(errors)
    .minus(squares(common))
    .plus(square(total(common)));
}

/** The larger of the sum of squares and the square of the sum. */
function worse(parts: readonly Rational[]): Rational {
  const apart = squares(parts);
  if (parts.length < 2) return apart;
  const together = square(total(parts));
  return together.compare(apart) > 0 ? together : apart;
}

const square = (value: Rational): Rational => value.times(value);
const total = (parts: readonly Rational[]): Rational =>
  parts.reduce((sum, one) => sum.plus(one), Rational.zero);
const squares = (parts: readonly Rational[]): Rational => total(parts.map(square));
