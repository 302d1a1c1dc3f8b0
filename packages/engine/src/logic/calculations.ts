import type { Draft, Placed } from './draft.ts';
import type { ExpressionFaults } from './expression-faults.ts';
import { operationKind } from './kinds.ts';
import type { Settling } from './settling.ts';
import { article } from './type.ts';
import type { Arithmetical, TypedAmount } from './typed.ts';

const EXPECTED: Readonly<Record<Arithmetical, string>> = {
  plus: 'two amounts of one kind, or a temperature and a difference of temperature',
  minus: 'two amounts of one kind, or a temperature and a difference of temperature',
  times: 'two amounts whose product has a kind',
  over: 'two amounts whose quotient has a kind',
  negated: 'an amount that can be negative by itself; a temperature has no opposite',
  lowest: 'amounts of one kind',
  highest: 'amounts of one kind',
  spread: 'amounts of one kind',
  mean: 'amounts of one kind',
  around: 'an amount and a whole circle of the same kind',
};

/** Gives calculations their kinds; a fault for operands whose kinds do not go together. */
export class Calculations {
  readonly #settling: Settling;
  readonly #faults: ExpressionFaults;

  constructor(settling: Settling, faults: ExpressionFaults) {
    this.#settling = settling;
    this.#faults = faults;
  }

  /** An operation on amounts; a fault where no kind comes out, or where the divisor is a zero that is written there. */
  of(operation: Arithmetical, operands: readonly TypedAmount[], at: string): TypedAmount | undefined {
    const kinds = operands.map((operand) => operand.type.kind);
    const kind = operationKind(operation, kinds);
    if (!kind)
      return this.#faults.add('wrong-kind', at, kinds.map(article).join(' and '), EXPECTED[operation]);
    const divisor = operands[1];
    if (operation === 'over' && divisor?.node === 'literal' && divisor.amount.value.sign === 0) {
      return this.#faults.add('divides-by-zero', at, 'a division by zero', 'a divisor that is not zero');
    }
    return { node: 'calculation', type: { type: 'amount', kind }, operation, operands };
  }

  /** Two or more operands from the left. A literal takes whichever kind makes the operation possible. */
  folded(operation: Arithmetical, operands: readonly Placed<Draft>[], at: string): TypedAmount | undefined {
    let left: Placed<Draft> | undefined;
    for (const right of operands) {
      left = left ? { draft: this.#pair(operation, left, right, at), at } : right;
    }
    return operands.length > 1 && left?.draft && left.draft.node === 'calculation' ? left.draft : undefined;
  }

  /** An operation on two operands; that of the first options whose kinds go together. */
  #pair(
    operation: Arithmetical,
    left: Placed<Draft>,
    right: Placed<Draft>,
    at: string,
  ): TypedAmount | undefined {
    const one = this.#settling.options(left, right.draft);
    const other = this.#settling.options(right, left.draft);
    const [first] = one;
    const [second] = other;
    if (!first || !second) return undefined;
    for (const a of one) {
      for (const b of other) {
        if (operationKind(operation, [a.type.kind, b.type.kind])) return this.of(operation, [a, b], right.at);
      }
    }
    return this.of(operation, [first, second], at);
  }
}
