import type { Plan, PlanNode } from '@ferrule/engine';

/** Where a node stands in the whole: counted along the steps as written, rework left aside. */
export interface Position {
  readonly step: number;
  readonly of: number;
  /** Titles of the blocks around it, from the outside in. */
  readonly within: readonly string[];
  readonly isRework: boolean;
}

export function positionOf(plan: Plan, node: PlanNode): Position {
  const around: PlanNode[] = [];
  for (let index = node.parent; index >= 0; index = plan.nodes[index]?.parent ?? -1) {
    const outer = plan.nodes[index];
    if (outer !== undefined) around.unshift(outer);
  }
  const inRework = reworkNodes(plan);
  let step = 0;
  let of = 0;
  for (const one of plan.nodes) {
    if (one.node !== 'step' || inRework.has(one.index)) continue;
    of += 1;
    if (one.index <= node.index) step += 1;
  }
  // The outermost block is the procedure itself, which heads what has no block of its own.
  const blocks = around.slice(1).flatMap((one) => titleOf(plan, one));
  const within = blocks.length > 0 ? blocks : [plan.procedure.title];
  return {
    step,
    of,
    within: within.filter((one, index) => one !== within[index - 1]),
    isRework: inRework.has(node.index),
  };
}

/** A block without a title is known by its name, unless it is only one turn of a loop. */
function titleOf(plan: Plan, node: PlanNode): readonly string[] {
  if (node.node !== 'block') return [];
  if (node.title !== undefined) return [node.title];
  const turn = /^([a-z-]+)=(.+)$/.exec(node.id);
  if (turn !== null) return [capital(`${turn[1]}\u00a0${turn[2]}`)];
  // A loop around its turns, which have names of their own.
  if (plan.nodes[node.first]?.id.startsWith(`${node.id}=`)) return [];
  return node.resumes === undefined && node.parent === 0 ? [capital(node.id.replaceAll('-', ' '))] : [];
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

const known = new WeakMap<Plan, ReadonlySet<number>>();

function reworkNodes(plan: Plan): ReadonlySet<number> {
  const found = known.get(plan);
  if (found !== undefined) return found;
  const inside = new Set<number>();
  for (const node of plan.nodes) {
    if (node.node !== 'block' || node.resumes === undefined) continue;
    for (let index = node.index; index < node.end; index++) inside.add(index);
  }
  known.set(plan, inside);
  return inside;
}
