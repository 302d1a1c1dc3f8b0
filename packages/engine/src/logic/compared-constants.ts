import type { Amount } from '../quantity/index.ts';
import { compileAmount } from './compile.ts';
import { allOf, namesIn } from './names.ts';
import type { Typed, TypedAmount } from './typed.ts';

/**
 * The constants that an amount is directly compared with, ascending, each value once: the points at which the
 * truth of these comparisons can change. A constant may be computed (`19.2 mm + 0.3 mm`), and the name must be a whole
 * side of a comparison; what is compared only as part of a sum or a choice is not in the answer.
 */
export function constantsComparedWith(typed: Typed, name: string): readonly Amount[] {
  const found: Amount[] = [];
  for (const part of allOf(typed)) {
    if (part.node !== 'comparison') continue;
    part.operands.forEach((operand, i) => {
      if (operand.node !== 'name' || operand.name !== name) return;
      for (const neighbour of [part.operands[i - 1], part.operands[i + 1]]) {
        const constant = neighbour && constantOf(neighbour);
        if (constant) found.push(constant);
      }
    });
  }
  return found
    .sort((a, b) => a.value.compare(b.value))
    .filter((one, i, all) => i === 0 || all[i - 1]?.value.compare(one.value) !== 0);
}

function constantOf(typed: TypedAmount): Amount | undefined {
  if (namesIn(typed).length > 0) return undefined;
  const answer = compileAmount(typed)(() => undefined);
  return 'amount' in answer ? answer.amount : undefined;
}
