import { type Amount, productOf, quotientOf, Rational } from '../quantity/index.ts';
import type { Read } from './answer.ts';
import { calculate } from './calculate.ts';
import { compile, compileAmount } from './compile.ts';
import { extremeWidening } from './extreme-widening.ts';
import { lookUp } from './table.ts';
import type { Calculation, TypedAmount } from './typed.ts';

/** A derivative for each name, in base units of the amount per base unit of what is named. */
export type Coefficients = ReadonlyMap<string, Rational>;

/** The derivatives of an amount: the same whatever is read, or worked out where the readings stand. */
export type Sensitivities =
  | { readonly linear: true; readonly coefficients: Coefficients }
  | { readonly linear: false; at(read: Read, varianceOf?: VarianceOf): Coefficients | undefined };

/** The variance of what is recorded under a name, in squares of its base unit. */
export type VarianceOf = (name: string) => Rational;

/**
 * The sensitivity coefficients of an amount: its first-order partial derivatives with respect to each name in it, exact,
 * in base units (JCGM 100, 5.1.3). To be made once for an expression and kept.
 *
 * A name that is not in the answer has no influence of first order. `at` is undefined where the amount has no value:
 * something is not recorded, or a division by zero. `if` follows the branch that is taken, and what its condition reads
 * does not count. `lowest`, `highest` and `spread` follow the operands that are the extremes. Which one that is, is not
 * settled where several lie closer together than twice the standard uncertainty of their difference (`varianceOf`; without
 * it, where they are equal): then the one with the largest variance counts, since a smaller uncertainty would flatter the
 * result; of three or more it is widened by how far out the extreme of so many lies (`extremeWidening`). The lowest and the highest of one list are never the same one, since their difference would then be known without any uncertainty. A `table` has the slope between two of its points, and at one of them the steeper. `around`
 * shifts by whole circles, which changes no derivative. Close to a tie, to a point of a table, to half a circle, and where a
 * reading could turn the condition of an `if`, no first-order figure describes the spread of the amount.
 */
export function sensitivities(typed: TypedAmount): Sensitivities {
  const coefficients = constantRates(typed);
  if (coefficients) return { linear: true, coefficients };
  const run = prepared(typed);
  return {
    linear: false,
    at: (read, varianceOf = alike) => {
      const picking: Picking = { varianceOf, order: 'each-largest', isOpen: false };
      const found = run(read, picking)?.rates;
      if (found === undefined || !picking.isOpen) return found;
      // The larger share in the uncertainty may be that of the lowest, or that of the highest.
      const others = (['lowest-first', 'highest-first'] as const).map(
        (order) => run(read, { ...picking, order })?.rates ?? found,
      );
      return others.reduce(
        (most, one) => (weightOf(one, varianceOf).compare(weightOf(most, varianceOf)) > 0 ? one : most),
        found,
      );
    },
  };
}

const alike: VarianceOf = () => Rational.one;

/** How the extremes of a list are picked where it is not settled which of several they are. */
interface Picking {
  readonly varianceOf: VarianceOf;
  /** Which of the two takes the operand with the largest variance; the other one takes the next. */
  readonly order: 'each-largest' | 'lowest-first' | 'highest-first';
  /** Whether anything was not settled. */
  isOpen: boolean;
}

/** What is known of an operand: its derivatives, and its value unless that waits for readings. */
interface Part {
  readonly rates: Coefficients;
  readonly amount: Amount | undefined;
}

/** The derivatives that hold whatever is read, if there are such. */
function constantRates(typed: TypedAmount): Coefficients | undefined {
  switch (typed.node) {
    case 'name':
      return new Map([[typed.name, Rational.one]]);
    case 'literal':
      return new Map();
    case 'if':
      return undefined;
    case 'calculation': {
      const parts: Part[] = [];
      for (const operand of typed.operands) {
        const rates = constantRates(operand);
        if (!rates) return undefined;
        parts.push({ rates, amount: rates.size > 0 ? undefined : amountOf(operand)(() => undefined) });
      }
      return ratesOf(typed, parts);
    }
  }
}

function prepared(typed: TypedAmount): (read: Read, picking: Picking) => Part | undefined {
  const rates = constantRates(typed);
  if (rates) {
    const value = amountOf(typed);
    return (read) => {
      const amount = value(read);
      return amount && { rates, amount };
    };
  }
  if (typed.node === 'if') {
    const asked = compile(typed.condition);
    const then = prepared(typed.then);
    const otherwise = prepared(typed.otherwise);
    return (read, picking) => {
      const { truth } = asked(read);
      return truth === undefined ? undefined : truth ? then(read, picking) : otherwise(read, picking);
    };
  }
  if (typed.node !== 'calculation') throw new Error(`no constant derivative of a ${typed.node}`);
  const operands = typed.operands.map(prepared);
  return (read, picking) => {
    const parts: Part[] = [];
    const amounts: Amount[] = [];
    for (const operand of operands) {
      const part = operand(read, picking);
      if (!part?.amount) return undefined;
      parts.push(part);
      amounts.push(part.amount);
    }
    const amount = calculate(typed, amounts);
    const rates = amount && ratesOf(typed, parts, picking);
    return rates && { rates, amount };
  };
}

function amountOf(typed: TypedAmount): (read: Read) => Amount | undefined {
  const run = compileAmount(typed);
  return (read) => {
    const answer = run(read);
    return 'amount' in answer ? answer.amount : undefined;
  };
}

/** The derivatives of a calculation from those of its operands; undefined where they hang on a value that is not known. */
function ratesOf(
  typed: Calculation,
  parts: readonly Part[],
  picking: Picking = { varianceOf: alike, order: 'each-largest', isOpen: false },
): Coefficients | undefined {
  const { operation, operands } = typed;
  const [first, second] = parts;
  const [one, other] = operands;
  if (!first || !one) return undefined;
  const a = first.amount?.value;
  const b = second?.amount?.value;
  switch (operation) {
    case 'plus':
      return sum([first, Rational.one], [second, Rational.one]);
    case 'minus':
      return sum([first, Rational.one], [second, Rational.one.negated()]);
    case 'negated':
      return sum([first, Rational.one.negated()]);
    case 'mean': {
      const share = Rational.of(1, parts.length);
      return sum(...parts.map((part) => [part, share] as const));
    }
    case 'times': {
      const scale = other && productOf(one.type.kind, other.type.kind)?.scale;
      return scale && sum([first, b?.times(scale)], [second, a?.times(scale)]);
    }
    case 'over': {
      const scale = other && quotientOf(one.type.kind, other.type.kind)?.scale;
      const rate = b && b.sign !== 0 ? scale?.over(b) : undefined;
      return rate && b && sum([first, rate], [second, a?.times(rate).over(b).negated()]);
    }
    case 'lowest':
      return extreme(parts, -1, picking)?.part.rates;
    case 'highest':
      return extreme(parts, 1, picking)?.part.rates;
    case 'around':
      return first.rates;
    case 'table':
      return sum([first, a && lookUp(typed.table, a)?.slope]);
    case 'spread': {
      const high = extreme(parts, 1, picking);
      const low = extreme(parts, -1, picking, high?.place);
      return high && sum([high.part, Rational.one], [low?.part, Rational.one.negated()]);
    }
  }
}

/** The derivatives of a weighted sum. A constant needs no weight. */
function sum(
  ...terms: readonly (readonly [part: Part | undefined, weight: Rational | undefined])[]
): Coefficients | undefined {
  const total = new Map<string, Rational>();
  for (const [part, weight] of terms) {
    for (const [name, rate] of part?.rates ?? []) {
      if (!weight) return undefined;
      const more = rate.times(weight);
      total.set(name, total.get(name)?.plus(more) ?? more);
    }
  }
  return total;
}

/**
 * The operand that is the lowest or the highest, and its place; of several that may be it, by the order in which they are
 * picked, and widened for their number. `except` is picked already, as the other end of a spread.
 */
function extreme(
  parts: readonly Part[],
  way: -1 | 1,
  picking: Picking,
  except?: number,
): { readonly part: Part; readonly place: number } | undefined {
  const [only] = parts;
  if (only === undefined || parts.length === 1) return only && { part: only, place: 0 };
  const known = parts.flatMap(({ rates, amount }, place) =>
    amount === undefined ? [] : [{ place, value: amount.value, weight: weightOf(rates, picking.varianceOf) }],
  );
  const [first, ...others] = known;
  if (first === undefined || known.length < parts.length) return undefined;
  const far = others.reduce((most, one) => (one.value.compare(most.value) * way > 0 ? one : most), first);
  const near = known.filter((one) => {
    const gap = one.value.minus(far.value);
    if (gap.sign === 0) return true;
    return (
      picking.varianceOf !== alike && gap.times(gap).compare(FOUR.times(one.weight.plus(far.weight))) <= 0
    );
  });
  if (near.length > 1) picking.isOpen = true;
  const left = near.filter((one) => one.place !== except);
  const sorted = (left.length > 0 ? left : known.filter((one) => one.place !== except)).toSorted(
    (a, b) => b.weight.compare(a.weight) || a.place - b.place,
  );
  const [largest, next] = sorted;
  const isAside =
    (way > 0 && picking.order === 'lowest-first') || (way < 0 && picking.order === 'highest-first');
  const chosen = isAside
    ? (next ?? largest)
    : way < 0
      ? largest
      : sorted.findLast((one) => one.weight.equals(largest?.weight ?? one.weight));
  const place = chosen?.place ?? 0;
  const part = parts[place];
  if (part === undefined) return undefined;
  const scattering = near.filter((one) => one.weight.sign > 0).length;
  if (picking.varianceOf === alike || scattering < 3) return { part, place };
  const wider = extremeWidening(scattering);
  const rates = new Map([...part.rates].map(([name, rate]) => [name, rate.times(wider)]));
  return { part: { ...part, rates }, place };
}

const FOUR = Rational.of(4);

/** What derivatives come to in variance, when nothing is shared. */
const weightOf = (rates: Coefficients, varianceOf: VarianceOf): Rational =>
  [...rates].reduce((sum, [name, rate]) => sum.plus(rate.times(rate).times(varianceOf(name))), Rational.zero);
