import type { Entry, Plan } from '@ferrule/engine';
import { pointerTo, valueAt } from '@ferrule/engine';
import { type FindingOfVariant, oncePerPlace } from '../once-per-place.ts';
import type { DiagnosticKind, Subject } from './diagnostic-kind.ts';

export const takenInALoop: DiagnosticKind = {
  code: 'taken-in-a-loop',
  severity: 'error',
  says: 'A loop takes one entry again in each round, and each takes the place of the one before.',
  marks: 'value',
  examine: (subject) => oncePerPlace(allTakenInLoops(subject)),
};

const keys = { reading: 'read', observation: 'observe', field: 'fill-in' } as const;

function* allTakenInLoops({ pack, plans }: Subject): Generator<FindingOfVariant> {
  for (const plan of plans) {
    for (const entry of plan.entries) {
      if (entry.entry === 'identity') continue;
      const found = loopAround(plan, entry);
      if (found === undefined) continue;
      const { step, loop } = found;
      const id = entry.pointer.slice(entry.pointer.lastIndexOf('/') + 1);
      const declared = valueAt(pack, entry.pointer) as { readonly per?: string | readonly string[] };
      const per = [declared.per ?? []].flat();
      const remedy =
        entry.entry === 'field'
          ? 'Fill it in outside of the loop.'
          : `Write per: ${per.length === 0 ? loop : `[${[...per, loop].join(', ')}]`} where ${id} is declared, or take it outside of the loop.`;
      yield {
        variant: plan.variant.id,
        pointer: pointerTo(step.pointer, keys[entry.entry]),
        message: `${step.id} takes ${id} in each round of the loop over ${loop}, and there is only one of it: each takes the place of the one before.`,
        remedy,
        other: [{ pointer: entry.pointer, message: `where ${id} is declared` }],
      };
    }
  }
}

/** A step that takes an entry in several rounds of one loop, and what the loop goes over. */
function loopAround(plan: Plan, { takers }: Entry) {
  const rounds = new Map<string, number>();
  for (const taker of takers) {
    const step = plan.nodes[taker];
    for (let at = step?.parent ?? -1; at >= 0; at = plan.nodes[at]?.parent ?? -1) {
      const round = plan.nodes[at];
      const around = plan.nodes[round?.parent ?? -1];
      // A round of a loop is a block of the same writing as the block around it.
      if (round?.node !== 'block' || around?.node !== 'block' || round.pointer !== around.pointer) continue;
      const key = `${around.index} ${step?.pointer}`;
      const known = rounds.get(key);
      if (known === undefined) rounds.set(key, round.index);
      else if (known !== round.index && step !== undefined)
        return { step, loop: round.id.slice(0, round.id.indexOf('=')) };
    }
  }
  return undefined;
}
