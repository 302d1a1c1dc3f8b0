import type { Guard, Plan, StepNode, Trial } from '@ferrule/engine';
import { firstWays } from '@ferrule/engine/proof';
import type { PlanItem } from './plan-items.ts';
import { cellsIn } from './reachable-marks.ts';

/** Places that are tried for one law: one for each bore is more than enough. */
const MOST_NODES = 6;

/**
 * A placed trial that a law or a requirement refuses: a step that it is about, and one state, or a crank position, changed
 * so that it does not hold. `isRefused` runs a trial. Undefined where no single change makes it refuse.
 */
export function draftLaw(
  plan: Plan,
  item: PlanItem,
  says: string,
  like: string | undefined,
  isRefused: (trial: Trial) => boolean,
): Trial | undefined {
  const ways = firstWays(plan);
  for (const index of item.nodes.slice(0, MOST_NODES)) {
    const node = plan.nodes[index];
    const guard = node?.node === 'step' ? guardOf(node, item.pointer) : undefined;
    const way = ways.get(index);
    if (node?.node !== 'step' || node.act === undefined || guard === undefined || way === undefined) continue;
    const law = guard.because.guard === 'interlock' ? { law: guard.because.law } : {};
    const refused = guard.because.guard === 'interlock' ? 'interlock' : 'requirement';
    for (const change of changesFor(plan, guard, way.bytes)) {
      const trial: Trial = {
        says,
        procedure: plan.procedure.id,
        variant: plan.variant.id,
        ...(like === undefined ? {} : { like }),
        placed: { at: node.path, ...change },
        expect: { outcome: 'refused', refused, ...law },
      };
      if (isRefused(trial)) return trial;
    }
  }
  return undefined;
}

const guardOf = (node: StepNode, pointer: string): Guard | undefined =>
  [...node.guards, ...node.invariants].find((one) => one.pointer === pointer);

type Change = Pick<NonNullable<Trial['placed']>, 'states' | 'crank'>;

function* changesFor(plan: Plan, guard: Guard, bytes: Uint8Array): Generator<Change> {
  for (const cell of new Set(cellsIn(guard.test))) {
    const declared = plan.cells[cell];
    if (declared?.cell === 'state') {
      for (const [value, name] of declared.values.entries())
        if (value !== bytes[cell]) yield { states: { [declared.name]: name } };
    }
    if (declared?.cell === 'crank') {
      for (const { mark, at } of plan.crank.positions) yield { crank: mark ?? `${at.toDecimal(0)}°` };
      yield { crank: 'unknown' };
    }
  }
}
