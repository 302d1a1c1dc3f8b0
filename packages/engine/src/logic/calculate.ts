import {
  type Amount,
  type AmountResult,
  divideAmounts,
  meanOfAmounts,
  multiplyAmounts,
} from '../quantity/index.ts';
import type { Calculation } from './typed.ts';

/** What a typed operation makes of its operands, exactly; undefined only for a division by zero. */
export function calculate({ operation, type }: Calculation, operands: readonly Amount[]): Amount | undefined {
  const [first, second] = operands;
  if (!first) throw new Error(`${operation} without operands`);
  const { kind } = type;
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
  }
}

function extreme(operands: readonly Amount[], first: Amount, way: -1 | 1): Amount {
  return operands.reduce((far, one) => (one.value.compare(far.value) === way ? one : far), first);
}

const made = (result: AmountResult): Amount | undefined => ('amount' in result ? result.amount : undefined);
