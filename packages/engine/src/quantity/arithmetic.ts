import { addKinds, type Kind, productOf, quotientOf, subtractKinds } from './kind.ts';
import type { Amount } from './quantity.ts';
import { Rational } from './rational.ts';

export type ArithmeticFault =
  | {
      readonly code: 'kinds-do-not-combine';
      readonly operation: '+' | '-' | '×' | '÷';
      readonly left: Kind;
      readonly right: Kind;
    }
  | { readonly code: 'division-by-zero' }
  | { readonly code: 'nothing-to-average' };

export type AmountResult = { readonly amount: Amount } | { readonly fault: ArithmeticFault };

const refuse = (operation: '+' | '-' | '×' | '÷', a: Amount, b: Amount): AmountResult => ({
  fault: { code: 'kinds-do-not-combine', operation, left: a.kind, right: b.kind },
});

/** a + b, exactly. */
export function addAmounts(a: Amount, b: Amount): AmountResult {
  const kind = addKinds(a.kind, b.kind);
  return kind === undefined ? refuse('+', a, b) : { amount: { kind, value: a.value.plus(b.value) } };
}

/** a − b, exactly. */
export function subtractAmounts(a: Amount, b: Amount): AmountResult {
  const kind = subtractKinds(a.kind, b.kind);
  return kind === undefined ? refuse('-', a, b) : { amount: { kind, value: a.value.minus(b.value) } };
}

/** a × b, exactly. */
export function multiplyAmounts(a: Amount, b: Amount): AmountResult {
  const product = productOf(a.kind, b.kind);
  if (product === undefined) return refuse('×', a, b);
  return { amount: { kind: product.kind, value: a.value.times(b.value).times(product.scale) } };
}

/** a ÷ b, exactly; a fault when b is zero. */
export function divideAmounts(a: Amount, b: Amount): AmountResult {
  const quotient = quotientOf(a.kind, b.kind);
  if (quotient === undefined) return refuse('÷', a, b);
  if (b.value.sign === 0) return { fault: { code: 'division-by-zero' } };
  return { amount: { kind: quotient.kind, value: a.value.over(b.value).times(quotient.scale) } };
}

/** The mean, exactly. Temperatures have one, although they have no sum. */
export function meanOfAmounts(amounts: readonly Amount[]): AmountResult {
  const [first] = amounts;
  if (first === undefined) return { fault: { code: 'nothing-to-average' } };
  let sum = Rational.zero;
  for (const one of amounts) {
    if (one.kind !== first.kind) return refuse('+', first, one);
    sum = sum.plus(one.value);
  }
  // A count of things may average to a part of a thing.
  const kind = first.kind === 'count' ? 'ratio' : first.kind;
  return { amount: { kind, value: sum.over(Rational.of(amounts.length)) } };
}

/** −1, 0 or 1 as a is less than, equal to or greater than b; undefined when their kinds differ. */
export function compareAmounts(a: Amount, b: Amount): -1 | 0 | 1 | undefined {
  return a.kind === b.kind ? a.value.compare(b.value) : undefined;
}
