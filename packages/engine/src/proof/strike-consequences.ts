import { callsForWork, remediesOfCheck } from '../job/since.ts';
import { firstStep } from '../job/struck.ts';
import type { Guard, Plan, Remedy, StepNode } from '../model/plan.ts';

/** The work that striking what a step has taken begins, if it can be begun in the states of that time. */
export interface WayBack {
  readonly taker: number;
  readonly body: number;
  /** What has to hold for its first step. */
  readonly guards: readonly Guard[];
}

/** The ways back of the steps of a plan, in the order of the steps. */
export const waysBack = (plan: Plan): readonly WayBack[] =>
  plan.nodes.flatMap((node) => {
    const struck = node.node === 'step' && node.entries.length > 0 ? node.struck : undefined;
    if (struck === undefined) return [];
    return bodiesOf(plan, struck).map((body) => {
      // The hold of a rework that is used up comes only where that rework could have been begun.
      const begins = struck.remedy === 'rework' ? struck.body : body;
      return { taker: node.index, body, guards: firstStep(plan, begins)?.guards ?? [] };
    });
  });

/**
 * What an entry decides and what may therefore be done later than else, when it is struck and comes out otherwise: the first
 * nodes of it. An entry that calls for work is taken again only in the states in which it was taken; what follows then has been
 * explored without a strike.
 */
export function decidedAnew(plan: Plan, index: number): readonly number[] {
  const nodes = new Set<number>();
  for (const at of callsForWork(plan, index) ? [] : (plan.entries[index]?.decides ?? [])) {
    const node = plan.nodes[at];
    if (node === undefined) continue;
    if (node.onlyIf !== undefined) nodes.add(node.node === 'block' && node.first >= 0 ? node.first : at);
    if (node.node === 'choose')
      for (const body of [...node.cases.map((one) => one.body), node.otherwise])
        if (body >= 0) nodes.add(body);
  }
  return [...nodes];
}

/** The bodies of the ways back of the steps that take an entry. */
export const bodiesBack = (plan: Plan, index: number): readonly number[] =>
  (plan.entries[index]?.takers ?? []).flatMap((at) => {
    const node = plan.nodes[at];
    return node?.node === 'step' && node.struck !== undefined ? bodiesOf(plan, node.struck) : [];
  });

/** Whether striking an entry can lead to anything besides taking it again. */
export const hasConsequences = (plan: Plan, index: number): boolean =>
  bodiesBack(plan, index).length > 0 || decidedAnew(plan, index).length > 0;

/** The bodies of every rework that a remedy can lead to, also through its hold. */
export function bodiesOf(plan: Plan, remedy: Remedy): readonly number[] {
  const hold = remedy.remedy === 'hold' ? remedy.hold : remedy.exhausted;
  const released = plan.holds[hold]?.releases.flatMap((one) => (one.by === 'rework' ? one.body : [])) ?? [];
  return remedy.remedy === 'rework' ? [remedy.body, ...released] : released;
}

/** Every remedy of a step. */
export const remediesOf = (node: StepNode): readonly Remedy[] => [
  ...remediesOfCheck(node),
  ...(node.struck === undefined ? [] : [node.struck]),
];
