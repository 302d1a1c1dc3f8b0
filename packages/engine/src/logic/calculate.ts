import {
  type Amount,
  type AmountResult,
  divideAmounts,
  meanOfAmounts,
  multiplyAmounts,
  type Rational,
  writeQuantity,
} from '../quantity/index.ts';
import type { Lack } from './answer.ts';
import { amountOutcome } from './explanation.ts';
import { namesIn } from './names.ts';
import { lookUp } from './table.ts';
import type { Calculation } from './typed.ts';

/** What a typed operation makes of its operands, exactly; undefined where it has no value, see `lackOfValue`. */
export function calculate(typed: Calculation, operands: readonly Amount[]): Amount | undefined {
  const [first, second] = operands;
  const { operation } = typed;
  if (!first) throw new Error(`${operation} without operands`);
  const { kind } = typed.type;
  switch (operation) {
    case 'plus':
      return second && { kind, value: first.value.plus(second.value) };
    case 'minus':
      return second && { kind, value: first.value.minus(second.value) };
    case 'times':
      return second && made(multiplyAmounts(first, second));
    case 'over':
      return second && made(divideAmounts(first, second));
    case 'negated':
      return { kind, value: first.value.negated() };
    case 'lowest':
      return extreme(operands, first, -1);
    case 'highest':
      return extreme(operands, first, 1);
    case 'spread':
      return { kind, value: extreme(operands, first, 1).value.minus(extreme(operands, first, -1).value) };
    case 'mean':
      return made(meanOfAmounts(operands));
    case 'around':
      return second && { kind, value: around(first.value, second.value) };
    case 'table': {
      const found = lookUp(typed.table, first.value);
      return found && { kind, value: found.value };
    }
  }
}

function extreme(operands: readonly Amount[], first: Amount, way: -1 | 1): Amount {
  return operands.reduce((far, one) => (one.value.compare(far.value) === way ? one : far), first);
}

/** Why a calculation of known operands has no value: it divides by zero, or its argument lies outside of its table. */
export function lackOfValue(typed: Calculation, [argument]: readonly Amount[]): Lack {
  const first = typed.operation === 'table' ? typed.table.points[0]?.[0] : undefined;
  const last = typed.operation === 'table' ? typed.table.points.at(-1)?.[0] : undefined;
  if (typed.operation !== 'table' || !argument || !first || !last) return { lack: 'divided-by-zero' };
  return {
    lack: 'outside-table',
    table: typed.table.title,
    at: amountOutcome(argument, first.unit).written,
    from: writeQuantity(first),
    until: writeQuantity(last),
    names: typed.operands.flatMap(namesIn),
  };
}

/** A value shifted by whole circles until it lies above minus half a circle and at most half a circle. */
function around(value: Rational, circle: Rational): Rational {
  const rest = value.mod(circle);
  return rest.plus(rest).compare(circle) > 0 ? rest.minus(circle) : rest;
}

const made = (result: AmountResult): Amount | undefined => ('amount' in result ? result.amount : undefined);
