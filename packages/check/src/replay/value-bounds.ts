import {
  type Amount,
  divideAmounts,
  type Lowered,
  multiplyAmounts,
  type PlanTolerance,
  Rational,
  type TypedAmount,
} from '@ferrule/engine';
import { around, type Interval, lookedUp } from '../interval.ts';

/** Where a value can lie, both ends included, in the base unit of its kind; an end that is missing is nowhere. */
export interface Bounds {
  readonly low?: Rational;
  readonly high?: Rational;
}

/** What is known of a name: a text, where its amount can lie, or undefined where nothing is recorded. */
export type Known = (name: string) => Bounds | string | undefined;

export interface Possible {
  readonly yes: boolean;
  readonly no: boolean;
}

type Typed = Lowered['typed'];
const either: Possible = { yes: true, no: true };
const point = (value: Rational): Bounds => ({ low: value, high: value });

/**
 * Where an amount can lie when its readings lie within bounds, each taken as independent of the others: it may be too
 * wide, never too narrow. So what lies outside of it is proved impossible; what lies inside is not proved possible.
 */
export function boundsOf(typed: TypedAmount, known: Known): Bounds {
  switch (typed.node) {
    case 'literal':
      return point(typed.amount.value);
    case 'name': {
      const found = known(typed.name);
      return typeof found === 'object' ? found : {};
    }
    case 'if': {
      const { yes, no } = possibleTruth(typed.condition, known);
      const ways = [...(yes ? [typed.then] : []), ...(no ? [typed.otherwise] : [])];
      return union(ways.map((one) => boundsOf(one, known)));
    }
    case 'calculation':
      return calculated(typed, known);
  }
}

type Calculation = Extract<TypedAmount, { node: 'calculation' }>;

function calculated(typed: Calculation, known: Known): Bounds {
  const operands = typed.operands.map((one) => boundsOf(one, known));
  const lows = operands.map((one) => one.low);
  const highs = operands.map((one) => one.high);
  const [first = {}, second = {}] = operands;
  switch (typed.operation) {
    case 'plus':
      return bounds(sum([first.low, second.low]), sum([first.high, second.high]));
    case 'minus':
      return bounds(sum([first.low, second.high?.negated()]), sum([first.high, second.low?.negated()]));
    case 'negated':
      return bounds(first.high?.negated(), first.low?.negated());
    case 'mean': {
      const count = Rational.of(operands.length);
      return bounds(sum(lows)?.over(count), sum(highs)?.over(count));
    }
    case 'lowest':
      return bounds(extreme(lows, -1), outermost(highs, -1));
    case 'highest':
      return bounds(outermost(lows, 1), extreme(highs, 1));
    case 'spread': {
      const least = sum([outermost(lows, 1), outermost(highs, -1)?.negated()]);
      const most = sum([extreme(highs, 1), extreme(lows, -1)?.negated()]);
      return bounds(least === undefined || least.sign < 0 ? Rational.zero : least, most);
    }
    case 'around': {
      const { low: circle } = second;
      if (circle === undefined) return {};
      // Without both ends it can be anything on the circle, as it can be on one that is gone round once.
      const { low, high } = first;
      const all = low && high ? interval(typed, low, high) : interval(typed, Rational.zero, circle);
      const found = around(all, circle);
      return bounds(found.low.value, found.high.value);
    }
    case 'table': {
      const low = first.low ?? typed.table.points[0]?.[0].value;
      const high = first.high ?? typed.table.points.at(-1)?.[0].value;
      const found = low && high && lookedUp(typed, interval(typed, low, high));
      return bounds(found?.low.value, found?.high.value);
    }
    case 'times':
    case 'over':
      return corners(typed, first, second);
  }
}

const interval = ({ operands: [one], type }: Calculation, low: Rational, high: Rational): Interval => {
  const kind = one?.type.kind ?? type.kind;
  return { low: { kind, value: low }, high: { kind, value: high } };
};

/** A product or a quotient is greatest and least at corners of its operands, unless it divides by zero on the way. */
function corners({ operation, operands }: Calculation, first: Bounds, second: Bounds): Bounds {
  const { low: a, high: b } = first;
  const { low: c, high: d } = second;
  const [left, right] = operands;
  if (a === undefined || b === undefined || c === undefined || d === undefined) return {};
  if (left === undefined || right === undefined) return {};
  if (operation === 'over' && c.sign * d.sign <= 0) return {};
  const found = [a, b].flatMap((one) =>
    [c, d].map((other): Rational | undefined => {
      const x: Amount = { kind: left.type.kind, value: one };
      const y: Amount = { kind: right.type.kind, value: other };
      const made = operation === 'times' ? multiplyAmounts(x, y) : divideAmounts(x, y);
      return 'amount' in made ? made.amount.value : undefined;
    }),
  );
  return bounds(extreme(found, -1), extreme(found, 1));
}

const bounds = (low: Rational | undefined, high: Rational | undefined): Bounds => ({
  ...(low === undefined ? {} : { low }),
  ...(high === undefined ? {} : { high }),
});

function sum(parts: readonly (Rational | undefined)[]): Rational | undefined {
  let total = Rational.zero;
  for (const part of parts) {
    if (part === undefined) return undefined;
    total = total.plus(part);
  }
  return total;
}

/** The furthest of all; undefined, for nowhere, as soon as one of them is. */
const extreme = (all: readonly (Rational | undefined)[], way: -1 | 1): Rational | undefined =>
  all.includes(undefined) ? undefined : outermost(all, way);

/** The furthest of those that are there. */
function outermost(all: readonly (Rational | undefined)[], way: -1 | 1): Rational | undefined {
  let far: Rational | undefined;
  for (const one of all) if (one !== undefined && (far === undefined || one.compare(far) === way)) far = one;
  return far;
}

const union = (all: readonly Bounds[]): Bounds =>
  bounds(
    extreme(
      all.map((one) => one.low),
      -1,
    ),
    extreme(
      all.map((one) => one.high),
      1,
    ),
  );

/** Which answers a condition can come to when its readings lie within bounds. Too much may be possible, never too little. */
export function possibleTruth(typed: Typed, known: Known): Possible {
  switch (typed.node) {
    case 'literal':
      return { yes: typed.truth, no: !typed.truth };
    case 'name':
    case 'membership':
      return either;
    case 'connective': {
      const operands = typed.operands.map((one) => possibleTruth(one, known));
      const [only = either] = operands;
      if (typed.connective === 'not') return { yes: only.no, no: only.yes };
      const all = (side: 'yes' | 'no'): boolean => operands.every((one) => one[side]);
      const some = (side: 'yes' | 'no'): boolean => operands.some((one) => one[side]);
      return typed.connective === 'and'
        ? { yes: all('yes'), no: some('no') }
        : { yes: some('yes'), no: all('no') };
    }
    case 'comparison': {
      const operands = typed.operands.map((one) => boundsOf(one, known));
      const links = operands
        .slice(1)
        .map((right, place) => compared(typed.relation, operands[place] ?? {}, right));
      return { yes: links.every((one) => one.yes), no: links.some((one) => one.no) };
    }
    case 'if': {
      const asked = possibleTruth(typed.condition, known);
      const ways = [
        ...(asked.yes ? [possibleTruth(typed.then, known)] : []),
        ...(asked.no ? [possibleTruth(typed.otherwise, known)] : []),
      ];
      return { yes: ways.some((one) => one.yes), no: ways.some((one) => one.no) };
    }
  }
}

function compared(relation: '==' | '!=' | '<' | '<=' | '>' | '>=', left: Bounds, right: Bounds): Possible {
  const canBeLess = left.low === undefined || right.high === undefined || left.low.compare(right.high) < 0;
  const canBeMore = left.high === undefined || right.low === undefined || left.high.compare(right.low) > 0;
  const isBeyond = (one: Rational | undefined, other: Rational | undefined): boolean =>
    one !== undefined && other !== undefined && one.compare(other) > 0;
  const canBeEqual = !isBeyond(left.low, right.high) && !isBeyond(right.low, left.high);
  const less = { '<': canBeLess, '<=': canBeLess || canBeEqual };
  const more = { '>': canBeMore, '>=': canBeMore || canBeEqual };
  switch (relation) {
    case '==':
      return { yes: canBeEqual, no: canBeLess || canBeMore };
    case '!=':
      return { yes: canBeLess || canBeMore, no: canBeEqual };
    case '<':
      return { yes: less['<'], no: more['>='] };
    case '<=':
      return { yes: less['<='], no: more['>'] };
    case '>':
      return { yes: more['>'], no: less['<='] };
    case '>=':
      return { yes: more['>='], no: less['<'] };
  }
}

/** Whether a value within bounds can be judged so. A verdict that is not decided by the limits counts as possible. */
export function canBeJudged({ limits }: PlanTolerance, outcome: string, { low, high }: Bounds): boolean {
  const below = limits.low?.value;
  const above = limits.high?.value;
  const isAbove = (one: Rational | undefined, other: Rational | undefined): boolean =>
    one === undefined || other === undefined || one.compare(other) > 0;
  switch (outcome) {
    case 'high':
      return above !== undefined && isAbove(high, above);
    case 'low':
      return below !== undefined && isAbove(below, low);
    case 'conforming': {
      const isTooLow = below !== undefined && high !== undefined && high.compare(below) < 0;
      const isTooHigh = above !== undefined && low !== undefined && low.compare(above) > 0;
      return !isTooLow && !isTooHigh;
    }
    default:
      return true;
  }
}
