import type { Plan, StepNode } from '../model/plan.ts';
import { PHASE, progressOf } from './control.ts';
import type { Job } from './job.ts';
import type { Refusal } from './refusal.ts';

const whatIsNext: Readonly<Record<number, string>> = {
  [PHASE.deciding]: 'a decision that waits for a reading',
  [PHASE.hazards]: 'its hazards have to be acknowledged',
  [PHASE.act]: 'its work has to be done',
  [PHASE.entries]: 'its entries have to be taken',
  [PHASE.judge]: 'its verdict waits for a reading',
  [PHASE.witness]: 'it has to be witnessed',
  [PHASE.holding]: 'it is on hold',
};

/** The step that is offered in this phase, or the refusal that says what is offered instead. */
export function offeredStep(
  plan: Plan,
  job: Job,
  step: string,
  phase: number,
): StepNode | readonly Refusal[] {
  const { control } = job;
  const node = plan.nodes[control.at];
  if (control.hold >= 0) return [onHold(plan, job)];
  if (node === undefined) {
    return [{ code: 'not-offered', message: 'Every step is done.', remedy: 'Close the job.', about: step }];
  }
  const now = progressOf(plan, control, control.at);
  if (node.node === 'step' && node.path === step && now === phase) return node;
  const next = whatIsNext[now] ?? 'it is under way';
  return [
    {
      code: 'not-offered',
      message: `${step} is not what comes now: the job is at ${node.path}, and ${next}.`,
      remedy: `Go on with ${node.path}.`,
      about: node.path,
    },
  ];
}

/** The refusal of everything else while a hold is open. */
export function onHold(plan: Plan, job: Job): Refusal {
  const hold = plan.holds[job.control.hold];
  return {
    code: 'not-offered',
    message: `The job is on hold: ${hold?.text ?? ''}`,
    remedy:
      'Release the hold, strike the entry that led to it if it was wrong, or close the job as unfinished.',
    about: hold?.id ?? '',
  };
}
