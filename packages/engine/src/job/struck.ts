import type { Entry, Plan, PlanNode, Remedy, StepNode } from '../model/plan.ts';
import { type Control, failing, PHASE } from './control.ts';
import { actFaults, changesEngine } from './effects.ts';

/** Whether a struck entry can be taken again in passing, by the step that took it and in the present states. */
export function canBeTakenAgain(
  plan: Plan,
  { bytes }: Pick<Control, 'bytes'>,
  index: number,
  taker: number,
): boolean {
  const guards = plan.entries[index]?.guards ?? [];
  return failing(guards, bytes).length === 0 && !isBuiltUpon(plan, bytes, index, taker);
}

/**
 * Whether work has followed on an entry that calls for work, or leads to other work, if it comes out otherwise: the states
 * in which that work was meant to be done have changed. Then the entry is not taken again in passing.
 */
export function isBuiltUpon(plan: Plan, bytes: Uint8Array, index: number, taker: number): boolean {
  return callsForWork(plan, index) && hasChangedSince(plan, bytes, taker);
}

/** Whether a step that lies behind a node has changed states. */
function hasChangedSince(plan: Plan, bytes: Uint8Array, since: number): boolean {
  const behind = plan.nodes[since]?.end ?? since;
  for (const at of changing(plan)) {
    if (at < behind) continue;
    const progress = bytes[plan.cells.length + at] ?? PHASE.unstarted;
    if (progress > PHASE.act && progress !== PHASE.passed) return true;
  }
  return false;
}

const knownChanging = new WeakMap<Plan, readonly number[]>();

/** The steps that change states, or make readings stale. */
function changing(plan: Plan): readonly number[] {
  const made =
    knownChanging.get(plan) ??
    plan.nodes.flatMap((node) => (node.node === 'step' && changesEngine(node) ? node.index : []));
  knownChanging.set(plan, made);
  return made;
}

/** Whether a body of work can be begun: its first step can be done in the present states. */
export function canBegin(plan: Plan, body: number, bytes: Uint8Array): boolean {
  const first = firstStep(plan, body);
  return first === undefined || actFaults(first, bytes).length === 0;
}

/** Whether the way back of a step whose entry was struck can be begun. A concession accepts a result; here is none. */
export function leadsBack(plan: Plan, struck: Remedy | undefined, bytes: Uint8Array): boolean {
  if (struck === undefined) return false;
  if (struck.remedy === 'rework') return canBegin(plan, struck.body, bytes);
  const releases = plan.holds[struck.hold]?.releases ?? [];
  return releases.some((one) => one.by === 'rework' && canBegin(plan, one.body, bytes));
}

const known = new WeakMap<Plan, readonly boolean[]>();

/**
 * Whether an entry can lead to work that changes the engine when it is taken again and comes out otherwise: through the rework
 * of a step that judges it, or by what it decides.
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

/** The step with which a body of work begins; undefined where it depends on something, or where it does not begin with one. */
export function firstStep(plan: Plan, body: number): StepNode | undefined {
  let node = plan.nodes[body];
  while (node?.node === 'block' && node.onlyIf === undefined) node = plan.nodes[node.first];
  return node?.node === 'step' && node.onlyIf === undefined ? node : undefined;
}

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
