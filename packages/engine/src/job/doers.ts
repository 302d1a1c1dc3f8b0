import type { Plan } from '../model/plan.ts';
import { reliedOn } from '../model/relied-on.ts';
import type { Job } from './job.ts';

/**
 * Whether a person did the work that a witness or a granter looks at: that of the step itself, that of the steps whose
 * entries it judges, and before a hold point that of everything before it in its block.
 */
export function didWorkAt(plan: Plan, job: Job, index: number, person: string): boolean {
  return workAt(plan, index).some((node) => job.doers[node]?.includes(person) === true);
}

function workAt(plan: Plan, index: number): readonly number[] {
  const node = plan.nodes[index];
  if (node?.node === 'hold') {
    const first = node.parent + 1;
    return Array.from({ length: index - first }, (_, place) => first + place);
  }
  if (node?.node !== 'step') return [index];
  const judged = reliedOn(plan, node.check);
  return [index, ...judged.flatMap((entry) => plan.entries[entry]?.takers ?? [])];
}
