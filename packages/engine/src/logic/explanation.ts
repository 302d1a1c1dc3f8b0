import {
  type Amount,
  baseUnit,
  type Quantity,
  Rational,
  type Unit,
  valueIn,
  writeQuantity,
} from '../quantity/index.ts';
import type { Lack } from './answer.ts';
import type { Operation, Relation } from './typed.ts';

/** How an answer came about: the same tree as the expression, with what every part came to. */
export interface Explanation {
  readonly says: Says;
  /** `says` in words, the name of a `name`, the text of a literal, or the title of a table. */
  readonly words: string;
  readonly operands: readonly Explanation[];
  readonly outcome: Outcome;
}

export type Says = 'name' | 'literal' | 'and' | 'or' | 'not' | 'if' | 'in' | 'not-in' | Operation | Relation;

/** What a part came to. `not-needed`: the answer stood before this part was looked at. */
export type Outcome =
  | AmountOutcome
  | { readonly outcome: 'text'; readonly text: string }
  | { readonly outcome: 'truth'; readonly truth: boolean }
  | { readonly outcome: 'unknown'; readonly lacks: readonly Lack[] }
  | { readonly outcome: 'not-needed' };

export interface AmountOutcome {
  readonly outcome: 'amount';
  readonly amount: Amount;
  /** The value as text, in `unit`, after `≈` if it was cut to `decimals`. */
  readonly written: string;
  readonly unit: Unit;
  readonly decimals: number;
}

export const WORDS: Readonly<Record<Exclude<Says, 'name' | 'literal'>, string>> = {
  and: 'all of',
  or: 'at least one of',
  not: 'not',
  if: 'if, then, otherwise',
  in: 'is one of',
  'not-in': 'is not',
  plus: 'plus',
  minus: 'minus',
  times: 'times',
  over: 'divided by',
  negated: 'the opposite of',
  lowest: 'the lowest of',
  highest: 'the highest of',
  spread: 'the highest less the lowest of',
  mean: 'the mean of',
  around: 'around a circle of',
  table: 'table',
  '==': 'equal to',
  '!=': 'not equal to',
  '<': 'below',
  '<=': 'at most',
  '>': 'above',
  '>=': 'at least',
};

/** Decimals that are shown of a value that has no short decimal form. */
const SHOWN = 6;

/**
 * An amount as an outcome: as written if somebody wrote it, else in `unit` with at least `decimals` and as many more as
 * it has, `≈` before a value that was cut. (A rounded `19.20` beside a limit of `19.20` must not look like the limit.)
 */
export function amountOutcome(amount: Amount, unit?: Unit, decimals = 0): AmountOutcome {
  if (isWritten(amount)) {
    return {
      outcome: 'amount',
      amount,
      written: writeQuantity(amount),
      unit: amount.unit,
      decimals: amount.decimals,
    };
  }
  const shown = unit?.kind === amount.kind ? unit : baseUnit(amount.kind);
  const exact = valueIn(amount, shown);
  for (let places = decimals; ; places++) {
    const digits = exact.toDecimal(places);
    const whole = Rational.parse(digits)?.equals(exact) ?? false;
    if (!whole && places < SHOWN) continue;
    const written = writeQuantity({ digits, unit: shown });
    return {
      outcome: 'amount',
      amount,
      written: whole ? written : `≈ ${written}`,
      unit: shown,
      decimals: places,
    };
  }
}

/** Whether somebody wrote the amount so, with its digits and unit. */
export function isWritten(amount: Amount): amount is Quantity {
  return 'digits' in amount && 'unit' in amount;
}
