import {
  type Amount,
  baseUnit,
  findUnit,
  type Kind,
  type Limits,
  type PlanTolerance,
  Rational,
  rootOf,
  spanKind,
  type Unit,
  type WrittenVerdict,
  writeAmount,
} from '@ferrule/engine';
import { exactly } from '@ferrule/engine/judge';
import { type LimitPair, Spread, type SpreadParts, type SpreadScale, scaleFor } from '../spread/index.ts';
import type { Judge, Measure } from './judge.ts';
import type { Becomes } from './outcome.ts';

/** How many values lie below, inside and above limits; a value that equals a limit lies inside. */
export interface HeldAgainst {
  readonly low?: string;
  readonly high?: string;
  readonly below: number;
  readonly inside: number;
  readonly above: number;
}

/** How the values lie that were judged by one name: in the unit of the newer revision, wherever they were taken. */
export interface ValueSpread {
  readonly values: number;
  /** Values beyond the scale of an instrument are not among them. */
  readonly beyondScale?: number;
  readonly lowest: string;
  readonly highest: string;
  readonly mean: string;
  /** s, over n − 1 (JCGM 100:2008, 4.2.2). */
  readonly standardDeviation?: string;
  /** Against the limits of the older revision, and of the newer one. */
  readonly older?: HeldAgainst;
  readonly newer?: HeldAgainst;
  /** In ascending order. */
  readonly edges: readonly string[];
  /** Before the first edge, between each two, and behind the last: one more than there are edges. */
  readonly bins: readonly number[];
}

/** The ends of limits as exact fractions in the base unit. */
interface Ends {
  readonly low?: string;
  readonly high?: string;
}

/** Counted values as plain data, so that parts can be put together: exact, and the same in whichever order. */
export interface CountedValues {
  readonly kind: Kind;
  readonly unit: string;
  readonly decimals: number;
  readonly older?: Ends;
  readonly newer?: Ends;
  readonly edges: readonly string[];
  readonly beyondScale: number;
  readonly parts: SpreadParts;
}

type Scale = Omit<CountedValues, 'beyondScale' | 'parts'>;

const known = new WeakMap<Judge, ReadonlyMap<string, Scale>>();

/**
 * By what the values are counted that are judged by each name, wherever it stands. Where the limits are others at each place
 * there is no picture of all.
 */
export function scalesOf(judge: Judge): ReadonlyMap<string, Scale> {
  const found = known.get(judge);
  if (found !== undefined) return found;
  const scales = new Map<string, Scale>();
  const mixed = new Set<string>();
  for (const measure of judge.measures) {
    const scale = scaleOf(judge, measure);
    if (scale === undefined) continue;
    const name = withoutPlace(measure.name);
    const other = scales.get(name);
    if (other !== undefined && JSON.stringify(other) !== JSON.stringify(scale)) mixed.add(name);
    scales.set(name, scale);
  }
  for (const name of mixed) scales.delete(name);
  known.set(judge, scales);
  return scales;
}

/** The name of what is judged, wherever it stands. */
export const withoutPlace = (name: string): string => name.replace(/@.*$/, '');

function scaleOf({ after }: Judge, measure: Measure): Scale | undefined {
  const now = measure.judges === 'tolerance' ? after.tolerances[measure.place ?? -1] : undefined;
  if (now === undefined) return undefined;
  const { unit, decimals, value, entries } = now;
  const { before } = measure;
  // Another value is not held against the limits of the one before.
  const then = before?.unit.kind === unit.kind && !measure.parts.includes('value') ? before : undefined;
  const readings = entries.flatMap((index) => {
    const entry = after.entries[index];
    return entry?.entry === 'reading' ? [entry] : [];
  });
  const [reading] = readings;
  const isReading = value.node === 'name' && reading !== undefined && reading.kind === unit.kind;
  const resolution = after.instruments.find(({ id }) => id === reading?.instrument)?.resolution;
  const step = resolution?.kind === unit.kind ? resolution.value : undefined;
  const whole = unit.kind === 'count' ? Rational.one : undefined;
  const limits = [then, now].flatMap((one) => (one === undefined ? [] : fixedLimits(one)));
  const { edges } = scaleFor(limits.map(pairOf), {
    ...(isReading ? { plausible: [reading.plausible[0].value, reading.plausible[1].value] } : {}),
    ...(step === undefined && whole === undefined ? {} : { step: step ?? whole ?? Rational.one }),
  });
  const ends = (tolerance: PlanTolerance | undefined): Ends | undefined =>
    tolerance === undefined ? undefined : fixedLimits(tolerance).map(endsOf)[0];
  const [wasHeld, isHeld] = [ends(then), ends(now)];
  return {
    ...{ kind: unit.kind, unit: unit.symbol, decimals },
    ...(wasHeld === undefined ? {} : { older: wasHeld }),
    ...(isHeld === undefined ? {} : { newer: isHeld }),
    edges: edges.map((one) => one.toFraction()),
  };
}

/** Limits that are worked out from readings are other ones in each job, and have no place in a picture of all. */
const fixedLimits = ({ limits, limitsFrom }: PlanTolerance): readonly Limits[] =>
  limitsFrom === undefined && (limits.low ?? limits.high) !== undefined ? [limits] : [];

const pairOf = ({ low, high }: Limits): LimitPair => ({
  ...(low === undefined ? {} : { low: low.value }),
  ...(high === undefined ? {} : { high: high.value }),
});

const endsOf = ({ low, high }: Limits): Ends => ({
  ...(low === undefined ? {} : { low: low.value.toFraction() }),
  ...(high === undefined ? {} : { high: high.value.toFraction() }),
});

/** The verdict whose value counts: the one of now, or, where nothing is judged again, the one of then. */
function verdictOf(becomes: Becomes): WrittenVerdict | undefined {
  if (becomes.outcome === 'untouched') return becomes.was;
  return 'is' in becomes ? becomes.is : undefined;
}

/** Counts the value of what verdicts became, each as often as it came up; undefined where there is none. */
export function countValues(
  scale: Scale,
  counts: Iterable<readonly [Becomes, number]>,
): CountedValues | undefined {
  const exact = new Map<string, number>();
  let beyondScale = 0;
  for (const [becomes, count] of counts) {
    const verdict = verdictOf(becomes);
    if (verdict?.exact === undefined) continue;
    if (verdict.beyond === undefined) exact.set(verdict.exact, (exact.get(verdict.exact) ?? 0) + count);
    else beyondScale += count;
  }
  if (exact.size === 0 && beyondScale === 0) return undefined;
  const spread = new Spread(spreadScale(scale));
  for (const [text, count] of exact) {
    const value = Rational.parse(text);
    if (value !== undefined) spread.add(value, count);
  }
  return { ...scale, beyondScale, parts: spread.toJSON() };
}

/** Two parts of one measure as one. */
export function togetherCounted(a: CountedValues, b: CountedValues): CountedValues {
  const spread = new Spread(spreadScale(a));
  for (const { parts } of [a, b]) spread.merge(parts);
  return { ...a, beyondScale: a.beyondScale + b.beyondScale, parts: spread.toJSON() };
}

function spreadScale({ older, newer, edges }: Scale): SpreadScale {
  const number = (text: string): Rational => Rational.parse(text) ?? Rational.zero;
  return {
    limits: [older, newer].map((ends) => ({
      ...(ends?.low === undefined ? {} : { low: number(ends.low) }),
      ...(ends?.high === undefined ? {} : { high: number(ends.high) }),
    })),
    edges: edges.map(number),
  };
}

/** Digits behind those of the tolerance in which a mean is said, and what cannot be said exactly. */
const MORE_DIGITS = 2;

/** Counted values in the words of a document; undefined while there is none. */
export function valuesInWords(counted: CountedValues): ValueSpread | undefined {
  const { kind, unit: symbol, decimals, older, newer, beyondScale, parts } = counted;
  const unit = symbol === '' ? baseUnit(kind) : findUnit(symbol, kind);
  const spread = new Spread(spreadScale(counted));
  spread.merge(parts);
  const { summary } = spread;
  if (unit === undefined || summary === undefined) return undefined;
  const amount = (value: Rational): Amount => ({ kind, value });
  const most = decimals + MORE_DIGITS;
  const text = (value: Rational): string => {
    const exact = exactly(amount(value), unit, decimals);
    const rounded = writeAmount(amount(value), unit, most);
    return exact.length <= rounded.length ? exact : `≈ ${rounded}`;
  };
  const held = (ends: Ends | undefined, place: number): HeldAgainst | undefined => {
    const counts = spread.counts[place];
    const pair = spread.scale.limits[place];
    if (ends === undefined || counts === undefined || pair === undefined) return undefined;
    return {
      ...(pair.low === undefined ? {} : { low: text(pair.low) }),
      ...(pair.high === undefined ? {} : { high: text(pair.high) }),
      ...counts,
    };
  };
  const [heldThen, heldNow] = [held(older, 0), held(newer, 1)];
  return {
    values: summary.n,
    ...(beyondScale === 0 ? {} : { beyondScale }),
    lowest: text(summary.lowest),
    highest: text(summary.highest),
    mean: writeAmount(amount(summary.mean), unit, most),
    ...(summary.variance === undefined ? {} : { standardDeviation: deviation(summary.variance, unit) }),
    ...(heldThen === undefined ? {} : { older: heldThen }),
    ...(heldNow === undefined ? {} : { newer: heldNow }),
    edges: spread.scale.edges.map((edge) => text(edge).replace(/^≈ /, '')),
    bins: spread.bins,
  };
}

/** Three digits, in the unit of the values; of temperatures in kelvin. */
function deviation(variance: Rational, unit: Unit): string {
  const span = spanKind(unit.kind);
  const shown = unit.kind === span ? unit : baseUnit(span);
  const root = rootOf(variance.over(shown.factor.times(shown.factor)), 3, 'nearest');
  return exactly({ kind: span, value: root.times(shown.factor) }, shown, 0);
}
