import { evaluateAmount, type Read } from '../logic/index.ts';
import {
  type Bound,
  type Candidate,
  chooseFromStock,
  rootOf,
  type Stack,
  type StockChoice,
  spanKind,
  stacksOf,
} from '../measure/index.ts';
import type { Plan, PlanSelection, PlanStock, PlanTolerance } from '../model/plan.ts';
import { type Amount, baseUnit, Rational, writeAmount, writeQuantity } from '../quantity/index.ts';
import type { WrittenChoice, WrittenVerdict } from './fact.ts';
import type { Job } from './job.ts';
import { type TakenBy, uncertaintyOf } from './uncertainty-of.ts';
import { boundReader, reader } from './value.ts';
import { judgeReadings, takenIn } from './verdict-on.ts';
import { distance, exactly } from './write-verdict.ts';

/** Sizes that are not in the drawer, as a job was told. */
export type UsedUp = Job['usedUp'];

/** What is chosen, or for want of which readings nothing can be. */
export type Selected =
  | { readonly choice: StockChoice; readonly fitted: Amount; readonly missing?: undefined }
  | { readonly missing: readonly string[]; readonly choice?: undefined }
  /** Readings that lie beyond their scale: nothing can be predicted by them. */
  | { readonly beyond: readonly string[]; readonly choice?: undefined; readonly missing?: undefined };

const THIRD = Rational.of(1, 3);

/**
 * Chooses from stock by readings, wherever they come from. A stated maximum permissible error ±a of the pieces counts as
 * a²/3 for each that comes in, and for the one that goes out where its size is stated and not measured (JCGM 100, 4.3.7).
 */
export function selectByReadings(
  plan: Plan,
  selection: PlanSelection,
  read: Read,
  taken: TakenBy,
  usedUp: UsedUp = [],
  boundOf?: (name: string) => Bound | undefined,
): Selected {
  const { stock, fitted } = selection;
  const tolerance = toleranceOf(plan, selection);
  const { verdict, limits } = judgeReadings(plan, tolerance, read, taken, boundOf);
  const size = evaluateAmount(fitted, read);
  const lacking =
    'amount' in size
      ? []
      : size.lacks.flatMap((one) => ('name' in one ? [one.name] : 'names' in one ? one.names : []));
  const bounds = lacking.filter((name) => boundOf?.(name) !== undefined);
  if (verdict.verdict === 'unmeasured' || bounds.length < lacking.length || !('amount' in size)) {
    const missing = verdict.verdict === 'unmeasured' ? verdict.missing : [];
    const without = [...missing, ...lacking.filter((name) => !bounds.includes(name))];
    return without.length > 0 || bounds.length === 0
      ? { missing: [...new Set(without.length > 0 ? without : [selection.name])] }
      : { beyond: bounds };
  }
  const { value, beyond, assessment } = verdict;
  if (value === undefined || beyond !== undefined) return { beyond: [tolerance.of] };
  const a = stock.permissibleError?.value;
  const sizeVariance = a?.times(a).times(THIRD);
  const fittedVariance =
    fitted.node === 'literal' ? sizeVariance : uncertaintyOf(plan, fitted, read, taken)?.variance;
  const valueVariance = assessment?.uncertainty.variance;
  const { least, greatest } = stock;
  const total = size.amount.value;
  const choice = chooseFromStock({
    value,
    fitted: size.amount,
    sensitivity: selection.sensitivity,
    limits,
    stacks: stacksIn(stock, usedUp),
    mayStay:
      (least === undefined || total.compare(least.value) >= 0) &&
      (greatest === undefined || total.compare(greatest.value) <= 0),
    ...(valueVariance === undefined ? {} : { valueVariance }),
    ...(sizeVariance === undefined ? {} : { sizeVariance }),
    ...(fittedVariance === undefined ? {} : { fittedVariance }),
  });
  return { choice, fitted: size.amount };
}

function toleranceOf({ tolerances }: Plan, { tolerance, name }: PlanSelection): PlanTolerance {
  const found = tolerances[tolerance];
  if (found === undefined) throw new Error(`${name} chooses for no tolerance`);
  return found;
}

const known = new WeakMap<PlanStock, readonly Stack[]>();

/** What can be put together of a stock without the sizes that are used up. */
function stacksIn(stock: PlanStock, usedUp: UsedUp): readonly Stack[] {
  const without = new Set(usedUp.flatMap((one) => (one.stock === stock.id ? [one.size] : [])));
  const kept = without.size === 0 ? known.get(stock) : undefined;
  if (kept !== undefined) return kept;
  const made =
    stacksOf(
      stock.sizes.flatMap((one) => (without.has(writeQuantity(one)) ? [] : [one.value])),
      stock.most,
      {
        ...(stock.least && { least: stock.least.value }),
        ...(stock.greatest && { greatest: stock.greatest.value }),
      },
    ) ?? [];
  if (without.size === 0) known.set(stock, made);
  return made;
}

/** The choice as it is stored and shown, or the names of readings that are missing for it. */
export function choiceOf(
  plan: Plan,
  job: Job,
  selection: PlanSelection,
): WrittenVerdict | { readonly missing: readonly string[] } {
  const read = reader(plan, job);
  const bounds = boundReader(plan, job);
  const found = selectByReadings(plan, selection, read, takenIn(plan, job), job.usedUp, bounds);
  if (found.missing !== undefined) return { missing: found.missing };
  const tolerance = toleranceOf(plan, selection);
  const limits = tolerance.says;
  if (found.choice === undefined)
    return {
      verdict: 'nonconforming',
      value: `nothing can be chosen: ${found.beyond.join(', ')} lies beyond the scale`,
      limits,
    };
  const { choice, fitted } = found;
  const best = choice.choice === 'chosen' ? choice.best : choice.nearest;
  if (best === undefined) return { verdict: 'nonconforming', value: 'nothing is in stock', limits };
  const chosen = writeChoice(selection, tolerance, best, fitted);
  const what = chosen.stays ? `${chosen.total} that is fitted` : chosen.sizes.join(' + ');
  const exact = best.predicted.value.toFraction();
  if (choice.choice === 'chosen') {
    const value = chosen.stays
      ? `${chosen.total} stays: ${chosen.predicted}`
      : `${what}: predicted ${chosen.predicted}`;
    return { verdict: 'conforming', value, limits, exact, chosen };
  }
  const missed = { kind: spanKind(best.predicted.kind), value: choice.excess ?? Rational.zero };
  return {
    verdict: 'nonconforming',
    value: `none in stock does; the nearest, ${what}, gives ${chosen.predicted}`,
    limits,
    exact,
    excess: distance(missed, tolerance),
    chosen,
  };
}

function writeChoice(
  { stock }: PlanSelection,
  { unit, decimals }: PlanTolerance,
  { sizes, total, predicted, variance }: Candidate,
  fitted: Amount,
): WrittenChoice {
  const write = (value: Rational): string => {
    const listed = stock.sizes.find((one) => one.value.equals(value));
    return listed === undefined
      ? exactly({ kind: stock.kind, value }, stock.unit, stock.decimals)
      : writeQuantity(listed);
  };
  const span = spanKind(unit.kind);
  const shown = unit.kind === span ? unit : baseUnit(span);
  return {
    stock: stock.id,
    sizes: sizes.map(write),
    total: write(total),
    fitted: write(fitted.value),
    ...(sizes.length === 0 ? { stays: true } : {}),
    predicted: exactly(predicted, unit, decimals),
    ...(variance === undefined
      ? {}
      : { variance: variance.toFraction(), expandedUncertainty: expanded(variance, span, shown) }),
  };
}

/** Twice the standard uncertainty, rounded up to two significant digits (JCGM 100, 7.2.6). */
function expanded(variance: Rational, kind: Amount['kind'], unit: ReturnType<typeof baseUnit>): string {
  const four = variance.times(Rational.of(4)).over(unit.factor.times(unit.factor));
  const root = rootOf(four, 2, 'up');
  for (let places = 0; ; places++) {
    if (places === MOST_DECIMALS || Rational.parse(root.toDecimal(places))?.equals(root) === true)
      return writeAmount({ kind, value: root.times(unit.factor) }, unit, places);
  }
}

const MOST_DECIMALS = 12;
