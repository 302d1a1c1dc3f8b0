import { amountOutcome } from '../logic/explanation.ts';
import { meanOnCircle, nearestTurn, outlierOf, spanKind, summarise } from '../measure/index.ts';
import type { Entry, Plan } from '../model/plan.ts';
import {
  type Amount,
  baseUnit,
  type Quantity,
  Rational,
  valueIn,
  writeAmount,
  writeQuantity,
} from '../quantity/index.ts';
import type { InstrumentUsed } from './fact.ts';

export type ReadingEntry = Extract<Entry, { entry: 'reading' }>;

/** One indication of a reading that is taken several times, and not complete yet. */
export interface Indication {
  readonly seq: number;
  /** Which one it is, from 1. One that was struck leaves its number to the next. */
  readonly repeat: number;
  readonly quantity: Quantity;
  readonly instrument?: InstrumentUsed;
}

/** What the indications of a reading show together so far. */
export interface Repeated {
  /** Highest less lowest. */
  readonly spread: Amount;
  /** The repeat that lies furthest from the mean. */
  readonly worst: number;
  /** They lie further apart than they may. */
  readonly isWide: boolean;
  /** How many are asked for in all, as things stand. */
  readonly of: number;
  readonly isComplete: boolean;
}

/** An angle on a circle lies from zero up to a whole turn; every other value stays as it is. The digits are kept. */
export function onCircle(quantity: Quantity, { circle }: ReadingEntry): Quantity {
  return circle === undefined ? quantity : { ...quantity, value: quantity.value.mod(circle) };
}

/** Whether a value is plausible; on a circle, whether it is after some number of whole turns. */
export function isPlausible({ value }: Amount, { plausible: [low, high], circle }: ReadingEntry): boolean {
  const beside =
    circle === undefined ? value : nearestTurn(value, circle, low.value.plus(high.value).times(HALF));
  return beside.compare(low.value) >= 0 && beside.compare(high.value) <= 0;
}

const HALF = Rational.of(1, 2);

/**
 * Between which values a reading can be, as its instrument shows them: on a circle whose scale begins at zero, -35° to -5°
 * stands as 325° to 355°.
 */
export function plausibleText(plan: Plan, entry: ReadingEntry): readonly [string, string] {
  const { circle, plausible } = entry;
  const range = plan.instruments.find(({ id }) => id === entry.instrument)?.range;
  const shown = (bound: Quantity): string => {
    const isOff = range !== undefined && bound.value.compare(range[0].value) < 0;
    return circle === undefined || !isOff
      ? writeQuantity(bound)
      : writeAmount({ kind: bound.kind, value: bound.value.mod(circle) }, bound.unit, bound.decimals);
  };
  return [shown(plausible[0]), shown(plausible[1])];
}

/** The values beside one another: on a circle, each by the turn that is nearest to the first. */
function valuesOf(all: readonly Indication[], { circle }: ReadingEntry): readonly Rational[] {
  const first = all[0]?.quantity.value ?? Rational.zero;
  return all.map(({ quantity: { value } }) =>
    circle === undefined ? value : nearestTurn(value, circle, first),
  );
}

/** What indications show together; undefined without one, and where they lie over half a circle and have no middle. */
export function repeated(entry: ReadingEntry, all: readonly Indication[]): Repeated | undefined {
  const { circle, repeats } = entry;
  const values = valuesOf(all, entry);
  const summary = summarise(values);
  if (summary === undefined || (circle !== undefined && meanOnCircle(values, circle) === undefined))
    return undefined;
  const off = values.map((value) => value.minus(summary.mean).abs());
  const furthest = off.reduce((far, one, place) => (one.compare(off[far] ?? one) > 0 ? place : far), 0);
  const { times = 1, most = 1, agreeWithin } = repeats ?? {};
  const isWide = agreeWithin !== undefined && summary.spread.compare(agreeWithin.value) > 0;
  const count = all.length;
  const isComplete = count >= times && !(isWide && count < most);
  // Two more each time, beginning when all that were asked for at first are there.
  const rounds = Math.floor((count - times) / 2) + 1;
  return {
    spread: { kind: spanKind(entry.kind), value: summary.spread },
    worst: all[furthest]?.repeat ?? 1,
    isWide,
    of: isComplete ? count : count < times ? times : Math.min(most, times + 2 * rounds),
    isComplete,
  };
}

/**
 * The value of a reading by all of its indications: their mean, exactly, or the lowest or the highest of them. With it
 * every one of them; on a circle, each by the turn that is nearest to the first. Undefined without one.
 */
export function valueOfRepeats(
  entry: ReadingEntry,
  all: readonly Indication[],
): { readonly value: Quantity; readonly repeats: readonly Quantity[] } | undefined {
  const values = valuesOf(all, entry);
  const repeats = all.map(({ quantity }, place) => ({ ...quantity, value: values[place] ?? quantity.value }));
  const summary = summarise(values);
  const like = all[0]?.quantity;
  if (like === undefined || summary === undefined) return undefined;
  const take = entry.repeats?.take ?? 'mean';
  const exact = summary[take];
  if (take !== 'mean') {
    const place = values.findIndex((one) => one.equals(exact));
    return { value: all[place]?.quantity ?? like, repeats };
  }
  const value = entry.circle === undefined ? exact : exact.mod(entry.circle);
  const inUnit = valueIn({ kind: like.kind, value }, like.unit);
  const written = Math.max(...all.map((one) => one.quantity.decimals));
  let decimals = written;
  while (decimals < written + 2 && !Rational.parse(inUnit.toDecimal(decimals))?.equals(inUnit)) decimals += 1;
  return { value: { ...like, value, digits: inUnit.toDecimal(decimals), decimals }, repeats };
}

/** What the fact of one more indication says of the repeats. Nothing where the reading is taken once. */
export interface RepeatSaid {
  readonly repeat?: number;
  readonly open?: true;
  readonly spread?: string;
  readonly wide?: true;
  readonly value?: string;
  readonly outlier?: number;
}

/**
 * What one more indication makes of a reading: which repeat it is, whether more are needed, the spread, and when it is
 * complete its value and the one that stands out. Undefined where on a circle it lies too far from the others.
 * `step` is the smallest difference that the instrument shows, the last digit that was typed where none is named. Where they
 * do not differ by more, or no more than they may, none of them stands out: Grubbs' test supposes values without steps.
 */
export function saidOfRepeat(
  entry: ReadingEntry,
  before: readonly Indication[],
  quantity: Quantity,
  step?: Rational,
): RepeatSaid | undefined {
  if (entry.repeats === undefined) return {};
  const repeat = nextRepeat(before);
  const all = [...before, { seq: 0, repeat, quantity }];
  const together = repeated(entry, all);
  if (together === undefined) return undefined;
  const { isComplete, isWide, spread } = together;
  const differs = [entry.repeats.agreeWithin?.value, step ?? lastDigit(all)].every(
    (least) => least === undefined || spread.value.compare(least) > 0,
  );
  const outlier = isComplete && differs ? outlierOf(valuesOf(all, entry)) : undefined;
  const stands = outlier === undefined ? undefined : all[outlier]?.repeat;
  return {
    repeat,
    ...(isComplete ? {} : { open: true }),
    ...(all.length >= entry.repeats.times ? { spread: writeSpan(spread, quantity) } : {}),
    ...(isWide && all.length >= entry.repeats.times ? { wide: true } : {}),
    ...(isComplete ? { value: writeTaken(entry, all) } : {}),
    ...(stands === undefined ? {} : { outlier: stands }),
  };
}

/** One in the last decimal place that all of them have, in base units. */
function lastDigit(all: readonly Indication[]): Rational | undefined {
  const [first] = all;
  const decimals = Math.min(...all.map((one) => one.quantity.decimals));
  return first?.quantity.unit.factor.over(Rational.of(10n ** BigInt(decimals)));
}

function writeTaken(entry: ReadingEntry, all: readonly Indication[]): string {
  const taken = valueOfRepeats(entry, all)?.value;
  if (taken === undefined) return '';
  const { kind, value, unit } = taken;
  const decimals = Math.min(...all.map((one) => one.quantity.decimals));
  return amountOutcome({ kind, value }, unit, decimals).written;
}

/** Whether some of the repeats of a reading are in, and not all. */
export const isUnderWay = ({
  underWay,
}: {
  readonly underWay: readonly (readonly Indication[] | undefined)[];
}): boolean => underWay.some((one) => one !== undefined && one.length > 0);

/** The lowest number that no indication has. */
export function nextRepeat(before: readonly Indication[]): number {
  let repeat = 1;
  while (before.some((one) => one.repeat === repeat)) repeat += 1;
  return repeat;
}

/** A difference between values in their unit; between temperatures, in kelvin. */
export function writeSpan(span: Amount, like: Quantity): string {
  const unit = like.unit.kind === span.kind ? like.unit : baseUnit(span.kind);
  return amountOutcome(span, unit, like.decimals).written;
}
