import type { Read } from '../logic/index.ts';
import { judge, marginOf, rootOf, spanKind, type Uncertainty } from '../measure/index.ts';
import type { Entry, Plan, PlanTolerance } from '../model/plan.ts';
import { type Amount, baseUnit, Rational } from '../quantity/index.ts';
import type { InstrumentUsed } from './fact.ts';
import { findEntry } from './find.ts';
import { instrumentOf } from './instruments.ts';
import { isSteadyIn, type TakenBy, uncertaintyOf } from './uncertainty-of.ts';
import { spell } from './write-assessment.ts';

/**
 * Whether the instruments can judge a tolerance, before anything is read. By the measurement capability index C_m, the
 * width of the limits by twice the expanded uncertainty (JCGM 106, 7.6): `comfortable` from 10, `sufficient` from what
 * the tolerance asks (4 is usual practice), `coarse` below, and `cannot-judge` where by its rule not
 * even the middle of the limits would come out conforming, or with one limit not even the plausible value furthest inside.
 * `one-limit`: there is no width; the uncertainty says how near the limit a value proves something. `unknown`: of an
 * instrument no error is stated. `counted`: it is no measurement. `depends`: the limits are worked out from readings.
 */
export type Sufficiency =
  | 'comfortable'
  | 'sufficient'
  | 'coarse'
  | 'cannot-judge'
  | 'one-limit'
  | 'unknown'
  | 'counted'
  | 'depends';

export interface Suitability {
  readonly tolerance: PlanTolerance;
  /** Kinds of instrument by which it is read, each once. */
  readonly kinds: readonly string[];
  readonly sufficiency: Sufficiency;
  /** Expanded uncertainty with its unit, rounded up to two digits. */
  readonly expandedUncertainty?: string;
  readonly coverageFactor?: string;
  /** C_m with one decimal. */
  readonly capability?: string;
  /** Of a reading with one limit: the value furthest inside that is plausible and that its instrument shows. */
  readonly best?: Amount;
  /** The uncertainty is another one for other readings: what is said here is that of typical ones. */
  readonly varies?: true;
}

const TEN = Rational.of(10);
const TWO = Rational.of(2);

/**
 * Looks at every tolerance of a plan. Instruments that are named count by what is said of them, other kinds by what the
 * pack says, as if one instrument took all readings of its kind. An error that is a share of the indication is taken at
 * the limit that is further from zero; a value that is worked out, at the middles of what is plausible.
 */
export function suitability(plan: Plan, instruments: readonly InstrumentUsed[] = []): readonly Suitability[] {
  return plan.tolerances.map((tolerance) => suitabilityOf(plan, tolerance, instruments));
}

/** The same for one tolerance. */
function suitabilityOf(
  plan: Plan,
  tolerance: PlanTolerance,
  instruments: readonly InstrumentUsed[],
): Suitability {
  const readings = tolerance.entries.flatMap((index) => {
    const entry = plan.entries[index];
    return entry?.entry === 'reading' ? [entry] : [];
  });
  const kinds = [...new Set(readings.flatMap((one) => one.instrument ?? []))];
  const varies =
    !isSteadyIn(tolerance.value) ||
    // One reading is looked at on its limit, where it matters.
    (tolerance.value.node !== 'name' &&
      readings.some((one) => {
        const used = usedFor(one, instruments);
        return used !== undefined && (instrumentOf(plan, used)?.permissibleError?.share.sign ?? 0) !== 0;
      }));
  const base = { tolerance, kinds, ...(varies ? { varies } : {}) };
  if (readings.length > 0 && readings.every((one) => one.kind === 'count'))
    return { ...base, sufficiency: 'counted' };
  // In the middle of what is plausible a divisor may be nothing; at its end it is something.
  const uncertainty =
    expected(plan, tolerance, instruments, HALF) ?? expected(plan, tolerance, instruments, Rational.one);
  if (uncertainty === undefined) return { ...base, sufficiency: 'unknown' };
  const best = bestOf(plan, tolerance, readings, instruments);
  return { ...base, ...(best && { best }), ...graded(tolerance, uncertainty, best) };
}

function graded(
  tolerance: PlanTolerance,
  uncertainty: Uncertainty,
  best: Amount | undefined,
): Omit<Suitability, 'tolerance' | 'kinds' | 'best'> {
  const { limits, limitsFrom, capability, unit } = tolerance;
  const { low, high } = limits;
  const { variance, coverageFactor } = uncertainty;
  const span = spanKind(unit.kind);
  const shown = unit.kind === span ? unit : baseUnit(span);
  const squared = variance.times(coverageFactor).times(coverageFactor);
  const root = rootOf(squared.over(shown.factor.times(shown.factor)), 2, 'up');
  const said = {
    expandedUncertainty: spell({ kind: span, value: root.times(shown.factor) }, shown),
    coverageFactor: coverageFactor.toDecimal(2).replace(/\.?0+$/, ''),
  };
  if (limitsFrom !== undefined) return { ...said, sufficiency: 'depends' };
  if (low === undefined || high === undefined) {
    const isInside = best !== undefined && marginOf(best.value, limits).sign >= 0;
    const isAccepted = !isInside || judge(tolerance, { amount: best, uncertainty }).verdict === 'conforming';
    return { ...said, sufficiency: isAccepted ? 'one-limit' : 'cannot-judge' };
  }
  const width = high.value.minus(low.value);
  const widthSquared = width.times(width);
  const reaches = (index: Rational): boolean =>
    widthSquared.compare(index.times(index).times(Rational.of(4)).times(squared)) >= 0;
  const middle = { kind: low.kind, value: low.value.plus(high.value).times(HALF) };
  const canConform = judge(tolerance, { amount: middle, uncertainty }).verdict === 'conforming';
  const sufficiency = !canConform
    ? 'cannot-judge'
    : reaches(capability.compare(TEN) > 0 ? capability : TEN)
      ? 'comfortable'
      : reaches(capability)
        ? 'sufficient'
        : 'coarse';
  if (squared.sign === 0) return { ...said, sufficiency };
  const index = rootOf(widthSquared.over(squared), 3, 'nearest').over(TWO);
  return { ...said, sufficiency, capability: index.toDecimal(1) };
}

/** Of a reading with one limit, the value furthest inside that is plausible and that its instrument shows. */
function bestOf(
  plan: Plan,
  { value, limits: { low, high }, circle }: PlanTolerance,
  [entry]: readonly Extract<Entry, { entry: 'reading' }>[],
  instruments: readonly InstrumentUsed[],
): Amount | undefined {
  if (value.node !== 'name' || entry === undefined || circle !== undefined) return undefined;
  const end = low === undefined ? entry.plausible[0] : high === undefined ? entry.plausible[1] : undefined;
  const used = usedFor(entry, instruments);
  return end && { kind: end.kind, value: onRange(end.value, used && instrumentOf(plan, used)?.range) };
}

/** The instrument that takes a reading, as far as that is known. */
const usedFor = (
  { instrument: kind }: Extract<Entry, { entry: 'reading' }>,
  instruments: readonly InstrumentUsed[],
): InstrumentUsed | undefined =>
  kind === undefined ? undefined : (instruments.findLast((one) => one.kind === kind) ?? oneOf(kind));

/** The uncertainty that a value will have, as far as that can be said before it is read. */
function expected(
  plan: Plan,
  tolerance: PlanTolerance,
  instruments: readonly InstrumentUsed[],
  place: Rational,
): Uncertainty | undefined {
  const amounts = new Map<string, Amount>();
  const amountOf = (name: string): Amount | undefined => {
    const entry = plan.entries[findEntry(plan, name) ?? -1];
    if (entry?.entry !== 'reading') return undefined;
    const known = amounts.get(name) ?? onScale(typical(tolerance, entry, place), entry);
    amounts.set(name, known);
    return known;
  };
  const read: Read = (name) => (name === 'variant' ? plan.variant.id : amountOf(name));
  const taken: TakenBy = (name) => {
    const entry = plan.entries[findEntry(plan, name) ?? -1];
    const amount = amountOf(name);
    if (entry?.entry !== 'reading' || amount === undefined) return undefined;
    const used = usedFor(entry, instruments);
    // A limit, or the middle of what is plausible, may lie off the scale; what is read does not.
    const value = onRange(amount.value, used && instrumentOf(plan, used)?.range);
    return {
      quantity: { kind: amount.kind, value, unit: entry.unit, digits: '', decimals: 0 },
      ...(used === undefined ? {} : { instrument: used }),
    };
  };
  return uncertaintyOf(plan, tolerance.value, read, taken);
}

/** A value, or the end of a range that is next to it. */
function onRange(value: Rational, range: readonly [Amount, Amount] | undefined): Rational {
  if (range === undefined) return value;
  const [low, high] = range;
  if (value.compare(low.value) < 0) return low.value;
  return value.compare(high.value) > 0 ? high.value : value;
}

/** The one instrument of a kind that nobody has named yet. */
function oneOf(kind: string): InstrumentUsed {
  const known = ones.get(kind) ?? { kind, identity: kind };
  ones.set(kind, known);
  return known;
}

const ones = new Map<string, InstrumentUsed>();
const HALF = Rational.of(1, 2);

/** A value as an instrument shows it: on a circle from zero up to a whole turn. */
const onScale = (amount: Amount, { circle }: Extract<Entry, { entry: 'reading' }>): Amount =>
  circle === undefined ? amount : { ...amount, value: amount.value.mod(circle) };

/** A value as it may be read: the limit further from zero, or where something is worked out, so far up in what is plausible. */
function typical(
  { value, limits }: PlanTolerance,
  entry: Extract<Entry, { entry: 'reading' }>,
  place: Rational,
): Amount {
  const [from, to] = entry.plausible;
  const middle = { kind: entry.kind, value: from.value.plus(to.value.minus(from.value).times(place)) };
  if (value.node !== 'name') return middle;
  const ends = [limits.low, limits.high].flatMap((one) => one ?? []);
  return ends.reduce<Amount>(
    (far, one) => (one.value.abs().compare(far.value.abs()) > 0 ? one : far),
    ends[0] ?? middle,
  );
}
