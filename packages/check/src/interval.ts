import {
  type Amount,
  addAmounts,
  divideAmounts,
  lookUp,
  multiplyAmounts,
  Rational,
  subtractAmounts,
  type TypedAmount,
  type TypedTruth,
} from '@ferrule/engine';

/** Everything that an amount can be lies from `low` to `high`, both included. */
export interface Interval {
  readonly low: Amount;
  readonly high: Amount;
}

/** What a reading can be, by its name; undefined where that is not bounded. */
export type Bounds = (name: string) => Interval | undefined;

/**
 * Bounds on what an amount can come to, by interval arithmetic in exact numbers (R. E. Moore, Interval Analysis, from
 * memory). Names count as independent of each other, so the bounds may be too wide, and are never too narrow.
 */
export function boundsOf(typed: TypedAmount, of: Bounds): Interval | undefined {
  switch (typed.node) {
    case 'name':
      return of(typed.name);
    case 'literal':
      return { low: typed.amount, high: typed.amount };
    case 'if': {
      const asked = truthsOf(typed.condition, of);
      const branches = [
        ...(asked.true ? [boundsOf(typed.then, of)] : []),
        ...(asked.false ? [boundsOf(typed.otherwise, of)] : []),
      ];
      return hull(branches);
    }
    case 'calculation': {
      const operands = typed.operands.map((operand) => boundsOf(operand, of));
      if (!operands.every((one) => one !== undefined)) return undefined;
      const [first, second] = operands;
      if (first === undefined) return undefined;
      return typed.operation === 'table'
        ? lookedUp(typed, first)
        : calculated(typed.operation, operands, first, second);
    }
  }
}

type Calculation = Extract<TypedAmount, { node: 'calculation' }>;
type LookUp = Extract<Calculation, { operation: 'table' }>;
type Operation = Exclude<Calculation, LookUp>['operation'];

/** What a table gives between two arguments lies between what it gives there and at its points in between. */
export function lookedUp({ table, type }: LookUp, { low, high }: Interval): Interval | undefined {
  const inside = table.points.flatMap(([at]) => {
    const isBetween = at.value.compare(low.value) >= 0 && at.value.compare(high.value) <= 0;
    return isBetween ? [at.value] : [];
  });
  const values = [low.value, ...inside, high.value].flatMap((at) => {
    const found = lookUp(table, at);
    return found === undefined ? [] : [{ kind: type.kind, value: found.value }];
  });
  return values.length === 0 ? undefined : { low: least(values), high: greatest(values) };
}

function calculated(
  operation: Operation,
  all: readonly Interval[],
  first: Interval,
  second: Interval | undefined,
): Interval | undefined {
  switch (operation) {
    case 'negated':
      return {
        low: withValue(first.high, (value) => value.negated()),
        high: withValue(first.low, (value) => value.negated()),
      };
    case 'lowest':
      return { low: least(all.map((one) => one.low)), high: least(all.map((one) => one.high)) };
    case 'highest':
      return { low: greatest(all.map((one) => one.low)), high: greatest(all.map((one) => one.high)) };
    case 'plus':
      return second && corners([first], [second], addAmounts);
    case 'minus':
      return second && corners([first], [second], subtractAmounts);
    case 'times':
      return second && corners([first], [second], multiplyAmounts);
    case 'over': {
      if (second === undefined || second.low.value.sign * second.high.value.sign <= 0) return undefined;
      return corners([first], [second], divideAmounts);
    }
    case 'spread': {
      const ends = corners(all, all, subtractAmounts);
      const surely = subtractAmounts(greatest(all.map((one) => one.low)), least(all.map((one) => one.high)));
      if (ends === undefined || 'fault' in surely) return undefined;
      const zero = withValue(surely.amount, (value) => value.minus(value));
      return { low: greatest([zero, surely.amount]), high: ends.high };
    }
    case 'around':
      return second && around(first, second.low.value);
    case 'mean':
      return { low: least(all.map((one) => one.low)), high: greatest(all.map((one) => one.high)) };
  }
}

/** All of half a circle to either side, unless everything is shifted by the same number of circles. */
export function around({ low, high }: Interval, circle: Rational): Interval {
  const half = circle.over(Rational.of(2));
  const shiftOf = (value: Rational): Rational => half.minus(value).over(circle).floor().times(circle);
  const shift = shiftOf(low.value);
  return shift.equals(shiftOf(high.value))
    ? {
        low: withValue(low, (value) => value.plus(shift)),
        high: withValue(high, (value) => value.plus(shift)),
      }
    : { low: withValue(low, () => half.negated()), high: withValue(high, () => half) };
}

const withValue = (amount: Amount, to: (value: Rational) => Rational): Amount => ({
  kind: amount.kind,
  value: to(amount.value),
});

const least = (all: readonly Amount[]): Amount =>
  all.reduce((a, b) => (b.value.compare(a.value) < 0 ? b : a));
const greatest = (all: readonly Amount[]): Amount =>
  all.reduce((a, b) => (b.value.compare(a.value) > 0 ? b : a));

function hull(all: readonly (Interval | undefined)[]): Interval | undefined {
  if (all.length === 0 || !all.every((one) => one !== undefined)) return undefined;
  return { low: least(all.map((one) => one.low)), high: greatest(all.map((one) => one.high)) };
}

/** An operation that is monotonic in each operand has its ends where its operands have theirs. */
function corners(
  left: readonly Interval[],
  right: readonly Interval[],
  operate: (a: Amount, b: Amount) => ReturnType<typeof addAmounts>,
): Interval | undefined {
  const ends = left.flatMap((a) =>
    right.flatMap((b) => [a.low, a.high].flatMap((x) => [b.low, b.high].map((y) => operate(x, y)))),
  );
  const amounts = ends.flatMap((one) => ('amount' in one ? [one.amount] : []));
  if (amounts.length === 0 || amounts.length < ends.length) return undefined;
  return { low: least(amounts), high: greatest(amounts) };
}

/** The answers that a condition can come to. */
export interface Truths {
  readonly true: boolean;
  readonly false: boolean;
}

const EITHER: Truths = { true: true, false: true };

/** Which answers a condition can come to. One that it is said to have may be impossible, never the other way about. */
export function truthsOf(typed: TypedTruth, of: Bounds): Truths {
  switch (typed.node) {
    case 'name':
    case 'membership':
      return EITHER;
    case 'literal':
      return { true: typed.truth, false: !typed.truth };
    case 'if': {
      const asked = truthsOf(typed.condition, of);
      const branches = [
        ...(asked.true ? [truthsOf(typed.then, of)] : []),
        ...(asked.false ? [truthsOf(typed.otherwise, of)] : []),
      ];
      return { true: branches.some((one) => one.true), false: branches.some((one) => one.false) };
    }
    case 'connective': {
      const operands = typed.operands.map((operand) => truthsOf(operand, of));
      const [first = EITHER] = operands;
      if (typed.connective === 'not') return { true: first.false, false: first.true };
      if (typed.connective === 'and') return all(operands);
      return { true: operands.some((one) => one.true), false: operands.every((one) => one.false) };
    }
    case 'comparison': {
      const bounds = typed.operands.map((operand) => boundsOf(operand, of));
      return all(
        bounds.slice(1).map((right, place) => {
          const left = bounds[place];
          return left === undefined || right === undefined ? EITHER : compared(typed.relation, left, right);
        }),
      );
    }
  }
}

const all = (links: readonly Truths[]): Truths => ({
  true: links.every((one) => one.true),
  false: links.some((one) => one.false),
});

type Relation = Extract<TypedTruth, { node: 'comparison' }>['relation'];

function compared(relation: Relation, left: Interval, right: Interval): Truths {
  const canBeLess = left.low.value.compare(right.high.value) < 0;
  const canBeMore = left.high.value.compare(right.low.value) > 0;
  const canBeEqual =
    left.low.value.compare(right.high.value) <= 0 && left.high.value.compare(right.low.value) >= 0;
  switch (relation) {
    case '<':
      return { true: canBeLess, false: canBeEqual || canBeMore };
    case '<=':
      return { true: canBeLess || canBeEqual, false: canBeMore };
    case '>':
      return { true: canBeMore, false: canBeEqual || canBeLess };
    case '>=':
      return { true: canBeMore || canBeEqual, false: canBeLess };
    case '==':
      return { true: canBeEqual, false: canBeLess || canBeMore };
    case '!=':
      return { true: canBeLess || canBeMore, false: canBeEqual };
  }
}
