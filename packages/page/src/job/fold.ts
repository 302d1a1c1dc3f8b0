import {
  type Command,
  decide,
  type Fact,
  type Job,
  type Plan,
  type Refusal,
  withFact,
} from '@ferrule/engine';
import type { Asked } from '../link/documents.ts';

/** A job with what is not stored yet laid over what is. */
export interface Folded {
  readonly job: Job;
  /** The number of the last fact that is stored; facts behind it are provisional. */
  readonly stored: number;
  /** The first command of the queue that no longer fits, and why. Those behind it were not looked at. */
  readonly misfit?: { readonly asked: Asked; readonly refusals: readonly Refusal[] };
}

/** Commands that have to be stored at once: they speak for other people, or end the job. */
const neverWaits: readonly Command['command'][] = ['close', 'abandon', 'witness', 'release', 'allow'];

/** Whether a command may wait on this device until the server is reached. */
export const mayWait = (command: Command): boolean => {
  if (command.command === 'done') return command.together === undefined && command.photograph === undefined;
  return !neverWaits.includes(command.command);
};

/** The id of the command that a fact comes from: its facts have the ids `id.1`, `id.2` … */
export const commandOf = (id: string): string => id.slice(0, id.lastIndexOf('.'));

/** Whether facts of a command are there already; its answer may still be coming. */
const isStored = ({ facts }: Job, { id, expectedSeq }: Asked): boolean => {
  const first = facts[expectedSeq];
  return first !== undefined && commandOf(first.id) === id;
};

/** Lays the queue over what is stored: each command is decided as the server will decide it, by the clock of this device. */
export function fold(plan: Plan, stored: Job, queue: readonly Asked[], at: (asked: Asked) => string): Folded {
  let job = stored;
  for (const asked of queue) {
    if (isStored(stored, asked)) continue;
    const decided = decide(
      plan,
      job,
      asked.command,
      { at: at(asked), by: asked.by, id: asked.id },
      asked.expectedSeq,
    );
    if (decided.refusals !== undefined)
      return { job, stored: stored.seq, misfit: { asked, refusals: decided.refusals } };
    job = decided.job;
  }
  return { job, stored: stored.seq };
}

/** The job with facts that were stored since, in their order; those that it has are passed over. */
export function withFacts(plan: Plan, job: Job, facts: readonly Fact[]): Job {
  let now = job;
  for (const fact of facts) if (fact.seq === now.seq + 1) now = withFact(plan, now, fact);
  return now;
}
