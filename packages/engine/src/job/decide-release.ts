import type { Plan } from '../model/plan.ts';
import type { Answering } from './answering.ts';
import type { Batch } from './batch.ts';
import type { Command, Occasion } from './command.ts';
import { didWorkAt } from './doers.ts';
import { refusedText } from './said.ts';
import { waysOn } from './signals.ts';
import { wrongRole } from './wrong-role.ts';

/** Releases the open hold in one of the ways that it allows, by a person who may and who did not do the work. */
export function release(
  plan: Plan,
  batch: Batch,
  command: Extract<Command, { command: 'release' }>,
  occasion: Occasion,
): Answering {
  const { job } = batch;
  const hold = plan.holds[job.control.hold];
  if (hold === undefined) {
    return [{ code: 'not-offered', message: 'There is no open hold.', remedy: 'Go on with the job.' }];
  }
  const open = waysOn(plan, job.control).flatMap((one) => (one.signal === 'released' ? [one.release] : []));
  const ways = open.filter((one) => hold.releases[one]?.by === command.by);
  const may = (one: number): boolean => {
    const role = hold.releases[one]?.role;
    return role === undefined || wrongRole(job, occasion.by, role) === undefined;
  };
  const number = ways.find(may) ?? ways[0];
  const way = number === undefined ? undefined : hold.releases[number];
  if (number === undefined || way === undefined) {
    if (command.by === 'concession') {
      return [
        {
          code: 'no-concession',
          message: `This hold has no concession: ${hold.text}`,
          remedy: hold.safety
            ? 'It protects people. Only putting it right releases it.'
            : waysOut(plan, batch),
          about: hold.id,
        },
      ];
    }
    const spent = hold.releases.some((one) => one.by === command.by);
    const message = spent
      ? `The ${command.by} of this hold has been used up.`
      : `This hold is not released by ${command.by}.`;
    return [{ code: 'not-offered', message, remedy: waysOut(plan, batch), about: hold.id }];
  }
  if (way.role !== undefined) {
    const role = wrongRole(job, occasion.by, way.role);
    if (role !== undefined) return [role];
  }
  if (way.by !== 'rework' && didWorkAt(plan, job, hold.node, occasion.by)) {
    return [
      {
        code: 'same-person',
        message: `${occasion.by} did this work and cannot release its hold.`,
        remedy: `Another person who is ${way.role} has to.`,
        about: hold.id,
      },
    ];
  }
  const reason = refusedText(command.reason, 'The reason');
  if (reason !== undefined) return [reason];
  const step = plan.nodes[hold.node]?.path ?? '';
  return batch
    .add({ kind: 'released', hold: hold.id, step, by: way.by, release: number, reason: command.reason })
    .settle();
}

/** The ways out of the open hold, in words. */
function waysOut(plan: Plan, batch: Batch): string {
  const hold = plan.holds[batch.job.control.hold];
  const ways = waysOn(plan, batch.job.control).flatMap((one) => {
    const way = one.signal === 'released' ? hold?.releases[one.release] : undefined;
    return way === undefined ? [] : [way.role === undefined ? way.by : `${way.by} by ${way.role}`];
  });
  return ways.length === 0
    ? 'Nothing releases it any more: close the job as unfinished.'
    : `It is released by ${ways.join(' or ')}.`;
}
