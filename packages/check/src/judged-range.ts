import {
  type Amount,
  type Entry,
  type Plan,
  type PlanTolerance,
  pointerTo,
  Rational,
  type RelatedPlace,
  type TypedAmount,
  writeAmount,
  writeQuantity,
} from '@ferrule/engine';
import { around, type Bounds, boundsOf, type Interval } from './interval.ts';

/** A tolerance, and on which sides of its limits a plausible value can lie. */
export interface JudgedRange {
  readonly variant: string;
  readonly tolerance: PlanTolerance;
  readonly canConform: boolean;
  readonly canFail: boolean;
  /** The limit that lies outside of all that is plausible. */
  readonly beyond?: 'lower' | 'upper';
  /** What the value can be, and where that is said. */
  readonly plausible: RelatedPlace;
}

/** What each reading of a plan can plausibly be. */
export function plausibleBounds(plan: Plan): Bounds {
  const bounds = new Map(
    plan.entries.flatMap((entry) =>
      entry.entry === 'reading'
        ? [[entry.name, { low: entry.plausible[0], high: entry.plausible[1] }] as const]
        : [],
    ),
  );
  return (name) => bounds.get(name);
}

/** Every tolerance whose value is bounded, as it was read or as it is calculated. */
export function* judgedRanges(plans: readonly Plan[]): Generator<JudgedRange> {
  for (const plan of plans) {
    const bounds = plausibleBounds(plan);
    const entries = new Map(plan.entries.map((entry) => [entry.name, entry]));
    for (const tolerance of plan.tolerances) {
      const { value, limits, limitsFrom } = tolerance;
      const found = boundsOf(value, bounds);
      if (found === undefined) continue;
      const range = besideLimits(found, tolerance);
      const low = limitBounds(limits.low, limitsFrom?.low, bounds);
      const high = limitBounds(limits.high, limitsFrom?.high, bounds);
      // Of a limit that is worked out and not bounded nothing is known, and so nothing is said.
      if (low === 'unbounded' || high === 'unbounded') continue;
      const isTooLow = low !== undefined && range.high.value.compare(low.low.value) < 0;
      const isTooHigh = high !== undefined && range.low.value.compare(high.high.value) > 0;
      const canBeLow = low !== undefined && range.low.value.compare(low.high.value) < 0;
      const canBeHigh = high !== undefined && range.high.value.compare(high.low.value) > 0;
      yield {
        variant: plan.variant.id,
        tolerance,
        canConform: !isTooLow && !isTooHigh,
        canFail: canBeLow || canBeHigh,
        ...beyondOf(range, limits),
        plausible: plausibleOf(entries, tolerance, range),
      };
    }
  }
}

/** What a limit can be: as it is written, or as it is worked out from readings; undefined where there is none. */
function limitBounds(
  written: Amount | undefined,
  workedOut: TypedAmount | undefined,
  bounds: Bounds,
): Interval | 'unbounded' | undefined {
  if (written !== undefined) return { low: written, high: written };
  return workedOut && (boundsOf(workedOut, bounds) ?? 'unbounded');
}

/** What an angle on a circle can be, after the turn that is nearest to its limits. */
function besideLimits(range: Interval, { circle, limits: { low, high } }: PlanTolerance): Interval {
  const [one, other] = [low ?? high, high ?? low];
  if (circle === undefined || one === undefined || other === undefined) return range;
  // Each value by its own turn: of half a circle to either side of the limits, whatever goes around further.
  const middle = one.value.plus(other.value).times(HALF);
  const moved = ({ kind, value }: Interval['low'], by: Rational) => ({ kind, value: value.plus(by) });
  const offsets = around(
    { low: moved(range.low, middle.negated()), high: moved(range.high, middle.negated()) },
    circle,
  );
  return { low: moved(offsets.low, middle), high: moved(offsets.high, middle) };
}

const HALF = Rational.of(1, 2);

/** The limit that no plausible reading comes near: beyond it nothing is left that could be refused. */
function beyondOf(
  range: Interval,
  { low, high }: PlanTolerance['limits'],
): { readonly beyond?: 'lower' | 'upper' } {
  if (high !== undefined && high.value.compare(range.high.value) > 0) return { beyond: 'upper' };
  if (low !== undefined && low.value.compare(range.low.value) < 0) return { beyond: 'lower' };
  return {};
}

function plausibleOf(
  entries: ReadonlyMap<string, Entry>,
  { value, of, pointer, unit, decimals }: PlanTolerance,
  range: Interval,
): RelatedPlace {
  const entry = value.node === 'name' ? entries.get(value.name) : undefined;
  if (entry?.entry === 'reading') {
    const [lowest, highest] = entry.plausible;
    return {
      pointer: pointerTo(entry.pointer, 'plausible'),
      message: `what ${entry.name} can be: ${writeQuantity(lowest)} to ${writeQuantity(highest)}`,
    };
  }
  const [name = of] = of.split('@');
  const procedure = pointer.split('/').slice(0, 3).join('/');
  return {
    pointer: name.includes('.') ? pointerTo(pointer, 'of') : pointerTo(procedure, 'derived', name),
    message: `what ${name} can come to when its readings are plausible: ${writeAmount(range.low, unit, decimals)} to ${writeAmount(range.high, unit, decimals)}`,
  };
}
