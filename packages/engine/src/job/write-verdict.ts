import type { Verdict } from '../measure/index.ts';
import type { PlanTolerance } from '../model/plan.ts';
import { type Amount, baseUnit, Rational, type Unit, valueIn, writeAmount } from '../quantity/index.ts';
import type { WrittenVerdict } from './fact.ts';

/** A verdict as it is stored, or undefined while something is missing for it: no verdict is ever stored then. */
export function writeVerdict(tolerance: PlanTolerance, verdict: Verdict): WrittenVerdict | undefined {
  if (verdict.verdict === 'unmeasured') return undefined;
  const value = exactly(verdict.value, tolerance.unit, tolerance.decimals);
  const written = { value, limits: tolerance.says, exact: verdict.value.value.toFraction() };
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

/** A distance from a limit. Distances between temperatures are temperature differences, in kelvin. */
function distance(amount: Amount, tolerance: PlanTolerance): string {
  const unit = amount.kind === tolerance.unit.kind ? tolerance.unit : baseUnit(amount.kind);
  return exactly(amount, unit, tolerance.decimals);
}

const MOST_DECIMALS = 9;

/** As many digits as it takes to be exact, up to nine decimals; `≈` before a rounded one. */
function exactly(amount: Amount, unit: Unit, decimals: number): string {
  const value = valueIn(amount, unit);
  for (let places = decimals; places <= MOST_DECIMALS; places++) {
    if (Rational.parse(value.toDecimal(places))?.equals(value)) return writeAmount(amount, unit, places);
  }
  return `≈ ${writeAmount(amount, unit, MOST_DECIMALS)}`;
}
