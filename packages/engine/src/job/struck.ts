import type { Plan, Remedy, StepNode } from '../model/plan.ts';
import { type Control, failing } from './control.ts';
import { countedAt } from './counted-at.ts';
import { isCounting } from './counting.ts';
import { actFaults } from './effects.ts';

import { CHANGED, callsForWork, sinceFrom, takersThatCallForWork, timedThatCallForWork } from './since.ts';

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
function isBuiltUpon(plan: Plan, bytes: Uint8Array, index: number, taker: number): boolean {
  const place = takersThatCallForWork(plan).get(taker);
  if (isSpanClosed(plan, bytes, taker)) return true;
  return callsForWork(plan, index) && place !== undefined && bytes[sinceFrom(plan) + place] === CHANGED;
}

/** Whether a time that counts from a step has ended with another one: done again now, the first would come after the last. */
function isSpanClosed(plan: Plan, bytes: Uint8Array, node: number): boolean {
  return countedAt(plan, node).some(
    ({ since, until }) => since === node && until !== undefined && isCounting(plan, { bytes }, until),
  );
}

/** Whether work has followed on an act from which time counts, or the time has ended: see `isBuiltUpon`. */
export function isTimeBuiltUpon(plan: Plan, bytes: Uint8Array, node: number): boolean {
  const place = timedThatCallForWork(plan).get(node);
  return (
    (place !== undefined && bytes[sinceFrom(plan) + place] === CHANGED) || isSpanClosed(plan, bytes, node)
  );
}

/** Whether a body of work can be begun: its first step can be done in the present states. */
function canBegin(plan: Plan, body: number, bytes: Uint8Array): boolean {
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

/** The step with which a body of work begins; undefined where it depends on something, or where it does not begin with one. */
export function firstStep(plan: Plan, body: number): StepNode | undefined {
  let node = plan.nodes[body];
  while (node?.node === 'block' && node.onlyIf === undefined) node = plan.nodes[node.first];
  return node?.node === 'step' && node.onlyIf === undefined ? node : undefined;
}
