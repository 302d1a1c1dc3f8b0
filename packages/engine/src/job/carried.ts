import { spanKind } from '../measure/index.ts';
import {
  type Kind,
  parseQuantity,
  type Quantity,
  Rational,
  storedQuantity,
  valueIn,
} from '../quantity/index.ts';
import type { FactBody } from './fact.ts';
import type { CarriedUncertainty } from './origin.ts';

export type CarriedFact = Extract<FactBody, { kind: 'carried' }>;

/** No value of a workshop has more signs; a longer fraction would only cost time. */
const LONGEST = 200;

/** The value that a carried fact states: exactly, with the digits that it shows; undefined when they say different things. */
export function carriedQuantity(
  { digits, unit, exact }: Pick<CarriedFact, 'digits' | 'unit' | 'exact'>,
  kind: Kind,
): Quantity | undefined {
  if ([digits, exact].some((text) => text.length > LONGEST)) return undefined;
  const shown = storedQuantity(digits, unit, kind);
  const value = Rational.parse(exact);
  // Without a unit it would be read in the base unit, and what is handed on names its own.
  if (shown === undefined || value === undefined || shown.unit.symbol !== unit) return undefined;
  const rounded = valueIn({ kind, value }, shown.unit).toDecimal(shown.decimals);
  return Rational.parse(rounded)?.equals(Rational.parse(digits) ?? Rational.zero) === true
    ? { ...shown, value }
    : undefined;
}

/** The standard uncertainty U/k that a value was carried with; undefined where it cannot be read. */
export function carriedStandard(
  { expandedUncertainty, coverageFactor, degreesOfFreedom }: CarriedUncertainty,
  kind: Kind,
): { readonly standard: Rational; readonly degreesOfFreedom?: number } | undefined {
  const expanded = parseQuantity(expandedUncertainty, spanKind(kind));
  const factor = coverageFactor.length > LONGEST ? undefined : Rational.parse(coverageFactor);
  if (!('quantity' in expanded) || factor === undefined || factor.sign <= 0) return undefined;
  if (expanded.quantity.value.sign < 0 || (degreesOfFreedom ?? 1) < 1) return undefined;
  return {
    standard: expanded.quantity.value.over(factor),
    ...(degreesOfFreedom === undefined ? {} : { degreesOfFreedom }),
  };
}
