import { addKinds, divideKinds, type Kind, multiplyKinds, subtractKinds } from '../quantity/index.ts';
import type { Arithmetical } from './typed.ts';

/** The kind of what an operation makes of operands of these kinds, or undefined where it means nothing. */
export function operationKind(operation: Arithmetical, kinds: readonly Kind[]): Kind | undefined {
  const [first, second] = kinds;
  if (first === undefined) return undefined;
  switch (operation) {
    case 'plus':
      return second && addKinds(first, second);
    case 'minus':
      return second && subtractKinds(first, second);
    case 'times':
      return second && multiplyKinds(first, second);
    case 'over':
      return second && divideKinds(first, second);
    case 'negated':
      return first === 'temperature' ? undefined : first;
    case 'lowest':
    case 'highest':
      return kinds.every((kind) => kind === first) ? first : undefined;
    case 'mean':
      // A count of things may average to a part of a thing.
      return kinds.every((kind) => kind === first) ? (first === 'count' ? 'ratio' : first) : undefined;
    case 'around':
      return first === second && first !== 'temperature' ? first : undefined;
    case 'spread':
      return kinds.every((kind) => kind === first) ? subtractKinds(first, first) : undefined;
  }
}

/** What is added to an amount of a kind: a difference of temperature to a temperature, else the kind itself. */
export const differenceKind = (kind: Kind): Kind => subtractKinds(kind, kind) ?? kind;
