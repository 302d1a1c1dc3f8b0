import {
  type Kind,
  parseQuantity,
  type Quantity,
  type QuantityFault,
  writeQuantity,
} from '../quantity/index.ts';
import type { AmountLiteral, TypedAmount, TypedText } from './typed.ts';

export function literalAmount(text: string, kind?: Kind): AmountLiteral | undefined {
  const parsed = parseQuantity(text, kind);
  return 'quantity' in parsed ? quantityLiteral(parsed.quantity) : undefined;
}

export function quantityLiteral(quantity: Quantity): AmountLiteral {
  return { node: 'literal', type: { type: 'amount', kind: quantity.kind }, amount: quantity };
}

/** The same amount as one of another kind, where its literals can be read so; undefined where they cannot. */
export function recast(amount: TypedAmount, kind: Kind): TypedAmount | undefined {
  if (amount.type.kind === kind) return amount;
  if (amount.node === 'literal') return literalAmount(writeQuantity(amount.amount), kind);
  if (amount.node !== 'if') return undefined;
  const then = recast(amount.then, kind);
  const otherwise = recast(amount.otherwise, kind);
  return then && otherwise && { ...amount, type: then.type, then, otherwise };
}

/** What a text that is no quantity was most likely meant to be. */
export function insteadOf(text: string, fault: QuantityFault): string | undefined {
  const instead =
    'instead' in fault ? fault.instead : 'suggestions' in fault ? fault.suggestions[0] : undefined;
  return instead && 'found' in fault ? text.replace(fault.found, () => instead) : undefined;
}

export function literalText(text: string): TypedText {
  return { node: 'literal', type: { type: 'text', among: [text] }, text };
}
