import type { Plan, PlanNode } from '@ferrule/engine';

/** A part of the whole: a block that the procedure stands directly in, with the steps in it. */
export interface PartOfWay {
  readonly title: string;
  /** Places of its steps in the plan, rework left aside. */
  readonly steps: readonly number[];
}

const known = new WeakMap<Plan, readonly PartOfWay[]>();

/** The parts of a procedure in their order. Steps that stand in no block of their own form a part together. */
export function partsOfWay(plan: Plan): readonly PartOfWay[] {
  const found = known.get(plan);
  if (found !== undefined) return found;
  const parts: { title: string; steps: number[]; top: number }[] = [];
  for (const node of plan.nodes) {
    if (node.node !== 'step' || isRework(plan, node)) continue;
    let top: PlanNode = node;
    for (let at = plan.nodes[node.parent]; at !== undefined && at.parent >= 0; at = plan.nodes[at.parent])
      top = at;
    const title = top === node ? plan.procedure.title : titleOfPart(plan, top);
    const last = parts.at(-1);
    if (last !== undefined && (last.top === top.index || (top === node && last.top < 0)))
      last.steps.push(node.index);
    else parts.push({ title, steps: [node.index], top: top === node ? -1 : top.index });
  }
  known.set(plan, parts);
  return parts;
}

/** A loop has no title of its own: it is called what its turns are called, where they are all called the same. */
function titleOfPart(plan: Plan, top: PlanNode): string {
  const turns = plan.nodes.filter((node) => node.parent === top.index && node.id.startsWith(`${top.id}=`));
  const [title, ...others] = new Set(turns.map((turn) => titleOf(turn)));
  return title !== undefined && others.length === 0 ? title : titleOf(top);
}

function titleOf(node: PlanNode): string {
  if (node.node === 'block' && node.title !== undefined) return node.title;
  const turn = /^([a-z-]+)=(.+)$/.exec(node.id);
  const words = turn === null ? node.id.replaceAll('-', ' ') : `${turn[1]} ${turn[2]}`;
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** Titles of the blocks around a node, from the outside in, the procedure itself left aside. */
function within(plan: Plan, node: PlanNode): readonly string[] {
  const titles: string[] = [];
  for (let at = plan.nodes[node.parent]; at !== undefined && at.parent >= 0; at = plan.nodes[at.parent]) {
    const first = at.node === 'block' ? plan.nodes[at.first] : undefined;
    // A loop stands around its turns, which have names of their own.
    if (first?.id.startsWith(`${at.id}=`) !== true) titles.unshift(titleOf(at));
  }
  return titles;
}

/**
 * Where a step stands, for the line above its title: the blocks around it, but for the innermost whose title the step only says more
 * of, as `Start engine` of `Start the engine at idle`.
 */
export function placeOf(plan: Plan, node: PlanNode, title: string): readonly string[] {
  const titles = within(plan, node);
  const said = bareWords(title);
  const isSaid = (one: string): boolean => bareWords(one).every((word, at) => word === said[at]);
  const last = titles.findLastIndex((one) => !isSaid(one));
  return titles.slice(0, last + 1);
}

/** Words without articles and endings of the plural, to be compared. */
const bareWords = (text: string): readonly string[] =>
  text
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => !['', 'a', 'an', 'the'].includes(word))
    .map((word) => word.replace(/(?<=\p{L}{3})s$/u, ''));

/** Whether a node is work that is done only after something did not conform. */
export function isRework(plan: Plan, node: PlanNode): boolean {
  for (let at: PlanNode | undefined = node; at !== undefined; at = plan.nodes[at.parent])
    if (at.node === 'block' && at.resumes !== undefined) return true;
  return false;
}
