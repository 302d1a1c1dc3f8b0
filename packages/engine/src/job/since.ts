import type { Entry, Plan, PlanNode, Remedy, StepNode } from '../model/plan.ts';
import { changesEngine } from './changes-engine.ts';
import { countedAt } from './counted-at.ts';

/** The values of the byte of a step that takes what calls for work. */
export const UNCHANGED = 0;
export const CHANGED = 1;

const knownTakers = new WeakMap<Plan, ReadonlyMap<number, number>>();

/**
 * The steps that take an entry which calls for work, each with its place. A control has a byte for each of them, behind the
 * progress of the nodes: whether a step has changed the engine since it was taken.
 */
export function takersThatCallForWork(plan: Plan): ReadonlyMap<number, number> {
  const known = knownTakers.get(plan);
  if (known !== undefined) return known;
  const made = new Map<number, number>();
  for (const node of plan.nodes) {
    const takes = node.node === 'step' && node.entries.some((entry) => callsForWork(plan, entry));
    if (takes) made.set(node.index, made.size);
  }
  knownTakers.set(plan, made);
  return made;
}

/** Where these bytes begin. */
export const sinceFrom = (plan: Plan): number => plan.cells.length + plan.nodes.length;

const knownTimed = new WeakMap<Plan, ReadonlyMap<number, number>>();

/**
 * The steps whose act starts or ends a time that is judged by a step with a rework, each with its place. Their bytes stand
 * behind those of the takers: whether a step has changed the engine since the act was done.
 */
export function timedThatCallForWork(plan: Plan): ReadonlyMap<number, number> {
  const known = knownTimed.get(plan);
  if (known !== undefined) return known;
  const made = new Map<number, number>();
  for (const node of plan.elapsed.length === 0 ? [] : plan.nodes) {
    if (node.node !== 'step' || node.act === undefined) continue;
    const judging = countedAt(plan, node.index).flatMap((one) => one.judgedBy);
    if (judging.some((one) => hasRework(plan, plan.nodes[one])))
      made.set(node.index, takersThatCallForWork(plan).size + made.size);
  }
  knownTimed.set(plan, made);
  return made;
}

/** How many bytes say what has changed since. */
export const sinceLength = (plan: Plan): number =>
  takersThatCallForWork(plan).size + timedThatCallForWork(plan).size;

/** Bytes of the control of a plan: its cells, the progress of its nodes, and what has changed since. */
export const controlLength = (plan: Plan): number => sinceFrom(plan) + sinceLength(plan);

const known = new WeakMap<Plan, readonly boolean[]>();

/**
 * Whether an entry can lead to work that changes the engine when it is taken again and comes out otherwise: through the rework
 * of a step that judges it, by what it decides, or since work is done by it.
 */
export function callsForWork(plan: Plan, index: number): boolean {
  const made = known.get(plan) ?? plan.entries.map((entry) => leadsToWork(plan, entry));
  known.set(plan, made);
  return made[index] ?? false;
}

function leadsToWork(plan: Plan, entry: Entry): boolean {
  const compared = comparedWith(plan, entry).flatMap((index) => plan.entries[index] ?? []);
  const judging = [entry, ...compared].flatMap((one) => [...one.takers, ...one.judgedBy]);
  return (
    entry.usedBy.length > 0 ||
    entry.decides.some((index) => holdsWork(plan, plan.nodes[index])) ||
    judging.some((index) => hasRework(plan, plan.nodes[index]))
  );
}

/** The entries whose serial number is compared with one that was found. */
export function comparedWith(plan: Plan, entry: Entry): readonly number[] {
  if (entry.entry !== 'identity' || entry.as !== 'found') return [];
  return plan.entries.flatMap((one, index) =>
    one.entry === 'identity' && one.as === 'fitted' && one.partCell === entry.partCell ? [index] : [],
  );
}

/** Whether something inside a node changes states, or can lead back to what does. */
function holdsWork(plan: Plan, around: PlanNode | undefined): boolean {
  if (around === undefined) return false;
  for (let at = around.index; at < around.end; at++) {
    const node = plan.nodes[at];
    if (node?.node === 'hold' && leadsToRework(plan, node.hold)) return true;
    if (node?.node !== 'step') continue;
    if (changesEngine(node) || hasRework(plan, node)) return true;
  }
  return false;
}

/** Whether the check of a step can lead to a rework, also through a hold. */
function hasRework(plan: Plan, node: PlanNode | undefined): boolean {
  if (node?.node !== 'step') return false;
  return remediesOfCheck(node).some(
    (remedy) => remedy.remedy === 'rework' || leadsToRework(plan, remedy.hold),
  );
}

const leadsToRework = (plan: Plan, hold: number): boolean =>
  plan.holds[hold]?.releases.some((release) => release.by === 'rework') === true;

/** What a step does about each outcome that does not conform. */
export function remediesOfCheck({ check }: StepNode): readonly Remedy[] {
  const all =
    check === undefined
      ? []
      : check.check === 'tolerance'
        ? [check.high, check.low, check.inconclusive]
        : [check.nonconforming];
  return all.flatMap((remedy) => remedy ?? []);
}
