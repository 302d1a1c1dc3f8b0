import type { PlanCondition, TypedAmount } from '@ferrule/engine';

export type Typed = TypedAmount | PlanCondition['lowered']['typed'];

/** An expression and every amount or truth in it, from the outside in. */
export function* partsIn(typed: Typed): Generator<Typed> {
  yield typed;
  switch (typed.node) {
    case 'if':
      yield* partsIn(typed.condition);
      yield* partsIn(typed.then);
      yield* partsIn(typed.otherwise);
      return;
    case 'calculation':
    case 'comparison':
    case 'connective':
      for (const one of typed.operands) yield* partsIn(one);
      return;
    default:
      return;
  }
}
