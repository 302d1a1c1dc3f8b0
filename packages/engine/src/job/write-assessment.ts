import {
  type Assessment,
  type DecisionRule,
  type Limits,
  marginOf,
  oneSidedFactor,
  rootOf,
  spanKind,
  verdictTable,
} from '../measure/index.ts';
import type { PlanTolerance } from '../model/plan.ts';
import {
  type Amount,
  baseUnit,
  convert,
  decimalsFor,
  Rational,
  type Unit,
  writeAmount,
  writeQuantity,
} from '../quantity/index.ts';
import type { WrittenAssessment } from './fact.ts';

const TWO = Rational.of(2);
const HUNDRED = Rational.of(100);

/**
 * What the uncertainty says about a verdict, in words and digits. An uncertainty is rounded up to two significant digits
 * (JCGM 100, 7.2.6), and what would be needed is rounded down to two.
 */
export function writeAssessment(
  { rule, unit, decimals, capability }: PlanTolerance,
  limits: Limits,
  value: Rational | undefined,
  { uncertainty, zone, millionths, isDoubtful }: Assessment,
): WrittenAssessment {
  const { variance, coverageFactor, degreesOfFreedom } = uncertainty;
  const span = spanKind(unit.kind);
  const shown = unit.kind === span ? unit : baseUnit(span);
  const expandedSquare = variance.times(coverageFactor).times(coverageFactor);
  const text = (root: Rational): string => spell({ kind: span, value: root.times(shown.factor) }, shown);
  const scale = shown.factor.times(shown.factor);
  const expanded = rootOf(expandedSquare.over(scale), 2, 'up');
  const band =
    rule.rule === 'guarded-acceptance' || rule.rule === 'guarded-both' ? rule.guardBand : undefined;
  const margin = value === undefined ? undefined : marginOf(value, limits).abs();
  const width =
    limits.low === undefined || limits.high === undefined
      ? undefined
      : limits.high.value.minus(limits.low.value);
  const isOpen = verdictTable[rule.rule].suffices[zone] === 'inconclusive';
  const enough = [
    ...(margin === undefined ? [] : [margin.over(neededPerMargin(rule, coverageFactor))]),
    ...(isOpen || width === undefined || rule.rule === 'simple' ? [] : [width.over(TWO).over(capability)]),
  ].filter((one) => one.sign > 0);
  const needed = enough.reduce<Rational | undefined>(
    (most, one) => (most === undefined || one.compare(most) > 0 ? one : most),
    undefined,
  );
  return {
    rule: saysRule(rule),
    standardUncertainty: text(rootOf(variance.over(scale), 2, 'up')),
    expandedUncertainty: text(expanded),
    coverageFactor: coverageFactor.toDecimal(2).replace(/\.?0+$/, ''),
    ...(degreesOfFreedom === Number.POSITIVE_INFINITY
      ? {}
      : { degreesOfFreedom: Math.floor(degreesOfFreedom) }),
    variance: variance.toFraction(),
    ...(band === undefined
      ? {}
      : {
          acceptance: acceptance(
            limits,
            rootOf(expandedSquare.times(band).times(band), 3, 'up'),
            unit,
            decimals,
          ),
        }),
    probability: percent(millionths),
    ...(width === undefined || expandedSquare.sign === 0
      ? {}
      : {
          capability: rootOf(
            width.times(width).over(expandedSquare.times(Rational.of(4))),
            2,
            'nearest',
          ).toDecimal(1),
        }),
    ...(needed === undefined
      ? {}
      : {
          needed: spell({ kind: span, value: downTo(needed.over(shown.factor)).times(shown.factor) }, shown),
        }),
    ...(isDoubtful ? { doubtful: true } : {}),
  };
}

/** By how much U has to be smaller than the distance from the limit for a rule to decide. */
function neededPerMargin(rule: DecisionRule, coverageFactor: Rational): Rational {
  switch (rule.rule) {
    case 'simple':
      return oneSidedFactor(Rational.one.minus(rule.warnAbove)).over(coverageFactor);
    case 'probability':
      return oneSidedFactor(rule.atLeast).over(coverageFactor);
    default:
      return rule.guardBand;
  }
}

/** A decision rule with its number, as it stands in a record. */
function saysRule(rule: DecisionRule): string {
  switch (rule.rule) {
    case 'simple':
      return 'simple';
    case 'probability':
      return `probability ${plain(rule.atLeast.times(HUNDRED))} %`;
    default:
      return `${rule.rule} ${plain(rule.guardBand)} × U`;
  }
}

const plain = (value: Rational): string => value.toDecimal(4).replace(/\.?0+$/, '');

/** Where a value may lie to be accepted: the limits less the guard band, rounded to the inside and never to a limit. */
function acceptance({ low, high }: Limits, band: Rational, unit: Unit, decimals: number): string {
  const places = decimalsFor(band, unit, decimals + 2);
  const amount = (value: Rational): Amount => ({ kind: unit.kind, value });
  const from = low && convert(amount(low.value.plus(band)), unit, places, 'up');
  const to = high && convert(amount(high.value.minus(band)), unit, places, 'down');
  if (from !== undefined && to !== undefined)
    return from.value.compare(to.value) > 0 ? 'nowhere' : `${writeQuantity(from)} to ${writeQuantity(to)}`;
  if (from !== undefined) return `from ${writeQuantity(from)}`;
  return to === undefined ? 'everywhere' : `up to ${writeQuantity(to)}`;
}

/** A probability in millionths as a percentage, never rounded to a certainty. */
function percent(millionths: number): string {
  if (millionths >= 1_000_000) return '100 %';
  if (millionths > 999_000) return '> 99.9 %';
  if (millionths === 0) return '0 %';
  return millionths < 1000 ? '< 0.1 %' : `${Rational.of(millionths, 10_000).toDecimal(1)} %`;
}

const MOST_DECIMALS = 12;

/** An amount with as many decimals as it has. */
export function spell(amount: Amount, unit: Unit): string {
  const value = amount.value.over(unit.factor);
  for (let places = 0; places < MOST_DECIMALS; places++) {
    if (Rational.parse(value.toDecimal(places))?.equals(value)) return writeAmount(amount, unit, places);
  }
  return writeAmount(amount, unit, MOST_DECIMALS);
}

/** A number above zero cut to two significant digits. */
function downTo(value: Rational): Rational {
  let places = 1;
  const ten = Rational.of(10);
  for (
    let scaled = value;
    scaled.compare(Rational.one) < 0 && places < MOST_DECIMALS;
    scaled = scaled.times(ten)
  )
    places += 1;
  return Rational.parse(value.toDecimal(value.compare(ten) >= 0 ? 0 : places, 'down')) ?? value;
}
