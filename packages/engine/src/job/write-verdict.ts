import type { Beyond, Limits } from '../measure/index.ts';
import type { PlanTolerance } from '../model/plan.ts';
import { type Amount, baseUnit, Rational, type Unit, valueIn, writeAmount } from '../quantity/index.ts';
import type { WrittenElapsed, WrittenVerdict } from './fact.ts';
import { outstanding } from './outstanding.ts';
import type { TakenBy } from './uncertainty-of.ts';
import type { VerdictOn } from './verdict-on.ts';
import { writeAssessment } from './write-assessment.ts';
import { writeTime } from './write-time.ts';

/** A verdict as it is stored, or undefined while something is missing for it: no verdict is ever stored then. */
export function writeVerdict(
  tolerance: PlanTolerance,
  { verdict, limits }: VerdictOn,
  taken: TakenBy,
  times: readonly WrittenElapsed[] = [],
): WrittenVerdict | undefined {
  if (verdict.verdict === 'unmeasured') return undefined;
  const { value, beyond, assessment } = verdict;
  const odd = outstanding(tolerance.value, taken);
  const written = {
    ...(value === undefined
      ? {}
      : {
          value: saysValue(value, beyond, tolerance),
          exact: value.value.toFraction(),
        }),
    limits: tolerance.limitsFrom === undefined ? tolerance.says : saysLimits(limits, tolerance),
    ...(beyond === undefined ? {} : { beyond }),
    ...(assessment === undefined
      ? {}
      : { assessment: writeAssessment(tolerance, limits, value?.value, assessment) }),
    ...(odd === undefined ? {} : { standsOut: odd }),
    ...(times.length === 0 ? {} : { elapsed: times }),
  };
  switch (verdict.verdict) {
    case 'conforming':
      return { verdict: 'conforming', ...written, margin: distance(verdict.margin, tolerance) };
    case 'nonconforming':
      return {
        verdict: 'nonconforming',
        side: verdict.side,
        ...written,
        excess: distance(verdict.excess, tolerance),
      };
    case 'inconclusive':
      return { verdict: 'inconclusive', ...written, because: verdict.because };
  }
}

/** A value that is a time since a step is said in hours, minutes and seconds. */
const valueText = (value: Amount, { elapsed, unit, decimals }: PlanTolerance): string =>
  elapsed !== undefined && value.kind === 'time' && value.value.sign >= 0
    ? writeTime(value.value)
    : exactly(value, unit, decimals);

/** A value; the end of a scale that it lies beyond is rounded to the side on which that stays true. */
function saysValue(value: Amount, beyond: Beyond | undefined, tolerance: PlanTolerance): string {
  const { unit, decimals } = tolerance;
  const exact = valueText(value, tolerance);
  if (beyond === undefined) return exact;
  const [sign, rounding] = beyond === 'above' ? (['>', 'down'] as const) : (['<', 'up'] as const);
  return `${sign} ${exact.startsWith('≈') ? writeAmount(value, unit, decimals + 2, rounding) : exact}`;
}

/** Limits that were worked out, in the unit of the tolerance. */
export function saysLimits({ low, high }: Limits, { unit, decimals }: PlanTolerance): string {
  const text = (limit: Amount): string => exactly(limit, unit, decimals);
  if (low === undefined) return high === undefined ? '' : `at most ${text(high)}`;
  return high === undefined ? `at least ${text(low)}` : `${text(low)} to ${text(high)}`;
}

/** A distance from a limit. Distances between temperatures are temperature differences, in kelvin. */
export function distance(amount: Amount, tolerance: PlanTolerance): string {
  const unit = amount.kind === tolerance.unit.kind ? tolerance.unit : baseUnit(amount.kind);
  return valueText(amount, { ...tolerance, unit });
}

const MOST_DECIMALS = 9;

/** As many digits as it takes to be exact, up to nine decimals; `≈` before a rounded one. */
export function exactly(amount: Amount, unit: Unit, decimals: number): string {
  const value = valueIn(amount, unit);
  for (let places = decimals; places <= MOST_DECIMALS; places++) {
    if (Rational.parse(value.toDecimal(places))?.equals(value)) return writeAmount(amount, unit, places);
  }
  return `≈ ${writeAmount(amount, unit, MOST_DECIMALS)}`;
}
