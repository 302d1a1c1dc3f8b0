import type { Typed } from './typed.ts';

/** The parts of which an expression is directly made. */
function partsOf(typed: Typed): readonly Typed[] {
  switch (typed.node) {
    case 'name':
    case 'literal':
      return [];
    case 'if':
      return [typed.condition, typed.then, typed.otherwise];
    case 'membership':
      return [typed.text, ...typed.among];
    case 'calculation':
    case 'connective':
    case 'comparison':
      return typed.operands;
  }
}

/** An expression and every part of it, from the outside in. */
export function* allOf(typed: Typed): Generator<Typed> {
  yield typed;
  for (const part of partsOf(typed)) yield* allOf(part);
}

/** Every name that an expression may read, each once, in the order of writing. */
export function namesIn(typed: Typed): readonly string[] {
  const names = new Set<string>();
  for (const part of allOf(typed)) if (part.node === 'name') names.add(part.name);
  return [...names];
}
