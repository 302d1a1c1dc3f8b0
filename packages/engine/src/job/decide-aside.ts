import type { Plan } from '../model/plan.ts';
import type { Answering } from './answering.ts';
import type { Batch } from './batch.ts';
import type { Command, Occasion } from './command.ts';
import { failing, holds } from './control.ts';
import { guardRefusal } from './decide-act.ts';
import { onHold } from './here.ts';
import { unfitInstrument } from './instruments.ts';
import { alikePerson, personName, refusedName } from './person-name.ts';
import { refusedText } from './said.ts';

/** A remark. It changes nothing. */
export function note(batch: Batch, text: string): Answering {
  const refused = refusedText(text, 'The note', 4000);
  return refused === undefined ? batch.add({ kind: 'noted', text }) : [refused];
}

/** Leaves the job for later, in the states in which the procedure allows it. */
export function park(plan: Plan, batch: Batch, reason: string): Answering {
  const refused = refusedText(reason, 'The reason');
  if (refused !== undefined) return [refused];
  if (batch.job.control.hold >= 0) return [onHold(plan, batch.job)];
  const { parking } = plan;
  if (parking === undefined) {
    return [
      {
        code: 'states-for-parking',
        message: 'This procedure does not say how it may be left unfinished.',
        remedy: 'Go on, or close the job as unfinished.',
      },
    ];
  }
  if (!holds(parking.guard.test, batch.job.control.bytes)) {
    const { because } = parking.guard;
    return [
      {
        code: 'states-for-parking',
        message: `The job cannot be left like this: ${because.says}`,
        remedy: parking.instructions,
      },
    ];
  }
  return batch.add({ kind: 'parked', reason });
}

/** Takes a parked job up again, when everything that has to be proved again has been confirmed by name. */
export function resume(plan: Plan, batch: Batch, confirmed: readonly string[]): Answering {
  if (!batch.job.control.parked) {
    return [{ code: 'not-offered', message: 'This job is not parked.', remedy: 'Go on with it.' }];
  }
  const open = (plan.parking?.onResuming ?? []).filter((one) => !confirmed.includes(one.id));
  if (open.length > 0) {
    return [
      {
        code: 'not-confirmed',
        message: `Before the job goes on this is still to be confirmed: ${open.map((one) => one.text).join(' ')}`,
        remedy: `Look whether it is so, and confirm it${open.length > 1 ? ', each by itself' : ''}.`,
      },
    ];
  }
  const known = (plan.parking?.onResuming ?? []).map((one) => one.id);
  return batch.add({ kind: 'resumed', confirmed: known }).settle();
}

/** Names an instrument that the job uses from now on. */
export function equip(
  plan: Plan,
  batch: Batch,
  command: Extract<Command, { command: 'equip' }>,
  occasion: Occasion,
): Answering {
  const { instrument } = command;
  const declared = plan.instruments.find((one) => one.id === instrument.kind);
  if (declared === undefined) {
    return [
      {
        code: 'instrument-missing',
        message: `This procedure needs no ${instrument.kind}.`,
        remedy: `It needs ${plan.instruments.map((one) => one.id).join(', ')}.`,
        about: instrument.kind,
      },
    ];
  }
  const unfit = unfitInstrument(plan, instrument, occasion.at, batch.job.instruments);
  if (unfit !== undefined) return [unfit];
  return batch.add({ kind: 'equipped', instrument });
}

/** Gives a person a role from now on. What was done before stays with those who did it. */
export function join(plan: Plan, batch: Batch, command: Extract<Command, { command: 'join' }>): Answering {
  const person = personName(command.person);
  const refused =
    refusedName(command.person) ??
    alikePerson(
      person,
      batch.job.persons.map((one) => one.person),
    );
  if (refused !== undefined) return [refused];
  if (!plan.roles.some((one) => one.id === command.role)) {
    return [
      {
        code: 'wrong-role',
        message: `There is no role ${command.role}.`,
        remedy: `Roles: ${plan.roles.map((one) => one.id).join(', ')}.`,
        about: command.role,
      },
    ];
  }
  return batch.add({ kind: 'joined', role: command.role, person });
}

/** Closes a job whose every step is done and whose states are as declared. */
export function close(plan: Plan, batch: Batch): Answering {
  const { control } = batch.job;
  if (control.hold >= 0) return [onHold(plan, batch.job)];
  const node = plan.nodes[control.at];
  if (node !== undefined) {
    return [
      {
        code: 'not-offered',
        message: `The job is not done: it is at ${node.path}.`,
        remedy: 'Go on with it, or close it as unfinished, with the reason.',
        about: node.path,
      },
    ];
  }
  const faults = failing(plan.ends, control.bytes);
  if (faults.length > 0) return faults.map(guardRefusal);
  return batch.add({ kind: 'closed', finished: true });
}

/** Closes a job that will not be finished. */
export function abandon(batch: Batch, reason: string): Answering {
  const refused = refusedText(reason, 'The reason');
  return refused === undefined ? batch.add({ kind: 'closed', finished: false, reason }) : [refused];
}
