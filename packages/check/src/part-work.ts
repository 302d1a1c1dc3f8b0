import { type Plan, pointerTo } from '@ferrule/engine';

/** One part taken off or renewed by one step. */
export interface PartWork {
  readonly part: string;
  /** The part and its place: `clamp-screw@3`. */
  readonly name: string;
  /** `PART.removed` or `PART.renewed`. */
  readonly to: number;
  /** Of the name in the step. */
  readonly pointer: string;
  /** Its step. */
  readonly node: number;
}

const made = new WeakMap<Plan, readonly PartWork[]>();

/** What the steps of a plan take off and renew, in the order of writing, those of reworks too. */
export function partWork(plan: Plan): readonly PartWork[] {
  const known = made.get(plan);
  if (known !== undefined) return known;
  const work: PartWork[] = [];
  for (const node of plan.nodes) {
    if (node.node !== 'step' || (node.act?.act !== 'remove' && node.act?.act !== 'renew')) continue;
    const { act, parts } = node.act;
    let place = 0;
    for (const effect of node.effects) {
      const cell = plan.cells[effect.cell];
      if (cell?.cell !== 'part' || !('to' in effect)) continue;
      const at = pointerTo(node.pointer, act);
      work.push({
        part: cell.part,
        name: cell.name,
        to: effect.to,
        node: node.index,
        pointer: parts.length > 1 ? pointerTo(at, place++) : at,
      });
    }
  }
  made.set(plan, work);
  return work;
}
