import {
  type Amount,
  convert,
  decimalsFor,
  oneSidedFactor,
  type Plan,
  type PlanTolerance,
  parseQuantity,
  type Quantity,
  Rational,
  type Suitability,
  spanKind,
  suitability,
  writeQuantity,
} from '@ferrule/engine';

const known = new WeakMap<Plan, ReadonlyMap<string, Suitability>>();

/** What the instruments that the pack states can do for a tolerance. */
function suitabilityFor(plan: Plan, { name }: PlanTolerance): Suitability | undefined {
  const found = known.get(plan) ?? new Map(suitability(plan).map((one) => [one.tolerance.name, one]));
  known.set(plan, found);
  return found.get(name);
}

/**
 * By which rule a value is held against its limits, for whoever decides on paper, with what it comes to for the instrument
 * that the pack states: where to accept and where to reject. Undefined for the simple rule, by which the limits decide.
 * U is that of the pack's kind of instrument, rounded up, so that nothing is accepted here that a job would leave open.
 */
export function ruleInWords(plan: Plan, tolerance: PlanTolerance): string | undefined {
  const { rule, limits, limitsFrom, unit } = tolerance;
  if (rule.rule === 'simple') return undefined;
  const found = suitabilityFor(plan, tolerance);
  const says =
    rule.rule === 'probability'
      ? `decided where it is right with at least ${plain(rule.atLeast.times(Rational.of(100)))} %`
      : `a guard band of ${plain(rule.guardBand)} × U`;
  const read = parseQuantity(found?.expandedUncertainty ?? '', spanKind(unit.kind));
  const uncertainty = 'quantity' in read ? read.quantity.value : undefined;
  if (uncertainty === undefined || limitsFrom !== undefined) {
    const why =
      limitsFrom === undefined
        ? 'no error of the stated instrument is known, so find out U of the one in use'
        : 'the limits are worked out first';
    return `Rule: ${says}; ${why}. Nearer to a limit than that: inconclusive.`;
  }
  if (found?.varies === true)
    return `Rule: ${says}. U depends on what is read (about ${found.expandedUncertainty ?? ''} as a rule): work it out, or have Ferrule do so, before a value near a limit is accepted or rejected. Until then: inconclusive.`;
  const factor = Rational.parse(found?.coverageFactor ?? '2') ?? Rational.of(2);
  const times = rule.rule === 'probability' ? oneSidedFactor(rule.atLeast).over(factor) : rule.guardBand;
  const band = uncertainty.times(times);
  const accepts = rule.rule !== 'guarded-rejection';
  const rejects = rule.rule !== 'guarded-acceptance';
  const about = rule.rule === 'probability' ? 'about ' : '';
  const inside = between(tolerance, limits, band);
  return [
    `Rule: ${says}, with U = ${found?.expandedUncertainty ?? ''} of the stated instrument.`,
    accepts ? `Accept ${inside === undefined ? 'nothing' : `${about}${inside}`}.` : '',
    rejects ? `Reject ${about}${outside(tolerance, limits, band)}.` : '',
    'Between that and the limits: inconclusive.',
  ]
    .filter((one) => one !== '')
    .join(' ');
}

const plain = (value: Rational): string => value.toDecimal(4).replace(/\.?0+$/, '');

type Limits = PlanTolerance['limits'];

/** A limit moved by a band, with two digits more than its readings have, or as many as tell it from the limit. */
function moved(
  { unit, decimals }: PlanTolerance,
  limit: Amount,
  band: Rational,
  rounding: 'up' | 'down',
): Quantity {
  const places = decimalsFor(band, unit, decimals + 2);
  return convert({ kind: limit.kind, value: limit.value.plus(band) }, unit, places, rounding);
}

/** What is accepted, rounded to the inside; undefined where nothing is left. */
function between(tolerance: PlanTolerance, { low, high }: Limits, band: Rational): string | undefined {
  const from = low && moved(tolerance, low, band, 'up');
  const to = high && moved(tolerance, high, band.negated(), 'down');
  if (from !== undefined && to !== undefined)
    return from.value.compare(to.value) > 0 ? undefined : `${writeQuantity(from)} to ${writeQuantity(to)}`;
  if (from !== undefined) return `from ${writeQuantity(from)}`;
  return to === undefined ? undefined : `up to ${writeQuantity(to)}`;
}

/** What is rejected, rounded to the outside. */
function outside(tolerance: PlanTolerance, { low, high }: Limits, band: Rational): string {
  return [
    ...(low === undefined ? [] : [`below ${writeQuantity(moved(tolerance, low, band.negated(), 'down'))}`]),
    ...(high === undefined ? [] : [`above ${writeQuantity(moved(tolerance, high, band, 'up'))}`]),
  ].join(' and ');
}
