import { type Pack, pointerTo } from '@ferrule/engine';

/** An expression as it is written: a derived value or a condition, and the procedure whose names it may read. */
export interface WrittenExpression {
  readonly expression: unknown;
  readonly pointer: string;
  readonly procedure: string;
  /** The derived value that it is. */
  readonly derived?: string;
}

/** Every expression of the procedures of a pack. */
export function* writtenExpressions(pack: Pack): Generator<WrittenExpression> {
  for (const [procedure, document] of Object.entries(pack.procedures)) {
    const at = pointerTo('/procedures', procedure);
    for (const [derived, { is }] of Object.entries(document.derived ?? {}))
      yield { expression: is, pointer: pointerTo(at, 'derived', derived, 'is'), procedure, derived };
    for (const section of ['steps', 'holds'] as const)
      yield* conditionsIn(document[section], pointerTo(at, section), procedure);
  }
}

function* conditionsIn(value: unknown, pointer: string, procedure: string): Generator<WrittenExpression> {
  if (typeof value !== 'object' || value === null) return;
  for (const [key, inside] of Object.entries(value)) {
    const at = pointerTo(pointer, key);
    if (key === 'logic') yield { expression: inside, pointer: at, procedure };
    else if (!key.startsWith('x-')) yield* conditionsIn(inside, at, procedure);
  }
}

/** A part of an expression that is one operation: its key, its operands, and where it stands. */
export interface WrittenOperation {
  readonly operator: string;
  readonly operands: unknown;
  readonly pointer: string;
}

/** Every operation in an expression, from the outside in. */
export function* operationsIn(expression: unknown, pointer: string): Generator<WrittenOperation> {
  if (typeof expression !== 'object' || expression === null) return;
  for (const [key, value] of Object.entries(expression)) {
    const at = pointerTo(pointer, key);
    if (!Array.isArray(expression)) yield { operator: key, operands: value, pointer: at };
    yield* operationsIn(value, at);
  }
}

/** The name that an operand is: `{var: gap}`, or `gap` alone in a named form. */
export function nameOf(operand: unknown): string | undefined {
  if (typeof operand === 'string') return operand;
  if (typeof operand !== 'object' || operand === null || !('var' in operand)) return undefined;
  return typeof operand.var === 'string' ? operand.var : undefined;
}
