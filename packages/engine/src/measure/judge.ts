import { type Amount, Rational } from '../quantity/index.ts';
import { type Bound, judgeBound } from './bound.ts';
import { nearestTurn } from './circle.ts';
import { conformingMillionths, MILLION } from './conforming-millionths.ts';
import { type DecisionRule, verdictTable } from './decision-rule.ts';
import { distancesTo, type Limits, nearer } from './limits.ts';
import { spanKind } from './permissible-error.ts';
import type { Uncertainty } from './uncertainty.ts';
import type { Assessment, Side, Verdict } from './verdict.ts';
import type { Zone } from './zone.ts';

/** What a judgement needs: the limits, the rule by which a value is held against them, and what an instrument must reach. */
export interface Judgeable {
  readonly limits: Limits;
  readonly rule: DecisionRule;
  /** Measurement capability index from which an instrument suffices (JCGM 106, 7.6); 4 is usual practice. */
  readonly capability: Rational;
  /** The whole turn of a value on a circle, in its base unit: it is judged after the turn nearest to its limits. */
  readonly circle?: Rational;
}

/** A value to be judged, with its uncertainty where that is known, or the names of what is not recorded. */
export type Measured =
  | { readonly amount: Amount; readonly uncertainty?: Uncertainty; readonly missing?: undefined }
  | { readonly missing: readonly string[]; readonly amount?: undefined }
  /** It lies beyond the scale of its instrument. */
  | { readonly bound: Bound; readonly amount?: undefined; readonly missing?: undefined }
  /** It is calculated from readings that lie beyond their scale, and so has no value. */
  | { readonly beyond: readonly string[]; readonly amount?: undefined; readonly missing?: undefined };

/**
 * Judges a measured value against its limits by the stated decision rule (JCGM 106:2012, 8). A value that is not
 * there is `unmeasured`, never conforming. Value, limits and guard bands are compared exactly and nothing is rounded; a
 * probability is computed on a grid of one millionth, in the same way on every machine. A rule other than the simple
 * one decides nothing while the uncertainty is not known.
 */
export function judge(tolerance: Judgeable, measured: Measured): Verdict {
  const { limits, rule } = tolerance;
  if ('bound' in measured && rule.rule === 'simple') return judgeBound(limits, measured.bound);
  if ('bound' in measured) {
    const { amount: value, beyond } = measured.bound;
    return { verdict: 'inconclusive', value, beyond, because: 'beyond-scale' };
  }
  if ('beyond' in measured) return { verdict: 'inconclusive', because: 'beyond-scale' };
  if (measured.amount === undefined) return { verdict: 'unmeasured', missing: measured.missing };
  const { uncertainty } = measured;
  const value = besideLimits(measured.amount, tolerance);
  const distances = distancesTo(value.value, limits);
  const margin = nearer(distances);
  if (uncertainty === undefined) {
    return rule.rule === 'simple'
      ? decided(value, margin, limits, margin.sign >= 0)
      : { verdict: 'inconclusive', value, because: 'uncertainty-unknown' };
  }
  const millionths = conformingMillionths(distances, uncertainty);
  const bands = bandsOf(tolerance, uncertainty);
  const { suffices } = bands;
  const zone = zoneOf(margin, bands, rule, millionths);
  const word = verdictTable[rule.rule][suffices === false ? 'coarse' : 'suffices'][zone];
  const isDoubtful =
    word !== 'inconclusive' &&
    compareShare(word === 'conforming' ? MILLION - millionths : millionths, warnAboveOf(rule)) > 0;
  const assessment: Assessment = { uncertainty, zone, millionths, suffices, isDoubtful };
  if (word !== 'inconclusive') return decided(value, margin, limits, word === 'conforming', assessment);
  const because = suffices === false ? 'instrument-too-coarse' : 'inside-guard-band';
  return { verdict: 'inconclusive', value, because, assessment };
}

/** A value on a circle, after the turn that is nearest to the middle of its limits, or to the only one. */
function besideLimits(amount: Amount, { limits: { low, high }, circle }: Judgeable): Amount {
  const one = low ?? high;
  if (circle === undefined || one === undefined) return amount;
  const middle = one.value.plus((high ?? one).value).times(HALF);
  return { kind: amount.kind, value: nearestTurn(amount.value, circle, middle) };
}

const HALF = Rational.of(1, 2);

/** A rule with a guard band on one side decides without one on the other: there it may be as wrong as the simple rule. */
const warnAboveOf = (rule: DecisionRule): Rational => ('warnAbove' in rule ? rule.warnAbove : TENTH);
const TENTH = Rational.of(1, 10);

function decided(
  value: Amount,
  margin: Rational,
  limits: Limits,
  conforms: boolean,
  assessment?: Assessment,
): Verdict {
  const kind = spanKind(value.kind);
  if (conforms) return { verdict: 'conforming', value, margin: { kind, value: margin }, assessment };
  const side = sideOf(value.value, limits);
  return { verdict: 'nonconforming', value, side, excess: { kind, value: margin.negated() }, assessment };
}

const sideOf = (value: Rational, limits: Limits): Side =>
  limits.high !== undefined && value.compare(limits.high.value) > 0 ? 'high' : 'low';

/** What an uncertainty means for a tolerance, whatever the value is: how wide its guard band is, and whether that leaves enough. */
interface Bands {
  readonly of: Judgeable;
  readonly band: Threshold;
  /** Whether the instrument is fine enough; undefined for limits with one side. */
  readonly suffices: boolean | undefined;
}

/** A distance that is known by its square, factor²·variance, and about which as a double. */
interface Threshold {
  readonly factor: Rational;
  readonly variance: Rational;
  readonly square: number;
}

/** The last answer for each uncertainty: readings with the same instruments are held against the same tolerance. */
const known = new WeakMap<Uncertainty, Bands>();

function bandsOf(of: Judgeable, uncertainty: Uncertainty): Bands {
  const last = known.get(uncertainty);
  if (last?.of === of) return last;
  const { limits, rule, capability } = of;
  const times = 'guardBand' in rule ? rule.guardBand : Rational.one;
  const bands = {
    of,
    band: threshold(times, uncertainty),
    suffices: isFineEnough(limits, uncertainty, capability),
  };
  known.set(uncertainty, bands);
  return bands;
}

/** A multiple of U = k·u. */
function threshold(times: Rational, { variance, coverageFactor }: Uncertainty): Threshold {
  const factor = times.times(coverageFactor);
  const f = factor.toNumber();
  return { factor, variance, square: f * f * variance.toNumber() };
}

function zoneOf(margin: Rational, { band }: Bands, rule: DecisionRule, millionths: number): Zone {
  const isInside = margin.sign >= 0;
  const isClear =
    rule.rule === 'probability'
      ? compareShare(isInside ? millionths : MILLION - millionths, rule.atLeast) >= 0
      : reaches(margin, band);
  if (isInside) return isClear ? 'inside' : 'inside-band';
  return isClear ? 'outside' : 'outside-band';
}

/** How a probability on its grid stands to a stated share on the same grid. */
const compareShare = (millionths: number, share: Rational): number =>
  millionths - Math.round(share.toNumber() * MILLION);

/** Whether width / (2 U) reaches the capability index, by their squares; undefined for limits with one side. */
function isFineEnough(
  { low, high }: Limits,
  uncertainty: Uncertainty,
  capability: Rational,
): boolean | undefined {
  if (low === undefined || high === undefined) return undefined;
  return reaches(high.value.minus(low.value), threshold(Rational.of(2).times(capability), uncertainty));
}

/** How sure a comparison of doubles has to be before the exact one can be left out: far above what rounding can do. */
const SURE = 1e-9;

/** Whether a distance, without its sign, is at least a threshold: by their squares, exactly. */
function reaches(distance: Rational, { factor, variance, square }: Threshold): boolean {
  const d = distance.toNumber();
  const left = d * d;
  if (Math.abs(left - square) > SURE * (left + square)) return left > square;
  return distance.times(distance).compare(factor.times(factor).times(variance)) >= 0;
}
