import type { Plan } from '../model/plan.ts';
import type { Answering } from './answering.ts';
import { Batch } from './batch.ts';
import { clockSetBack } from './clock-set-back.ts';
import type { Command, Occasion, StartRequest } from './command.ts';
import { acknowledge, done, omit, witness } from './decide-act.ts';
import { allow } from './decide-allow.ts';
import { abandon, close, equip, join, note, park, resume } from './decide-aside.ts';
import { carry } from './decide-carry.ts';
import { record } from './decide-entry.ts';
import { release } from './decide-release.ts';
import { outOfStock } from './decide-stock.ts';
import { strike } from './decide-strike.ts';
import type { Fact } from './fact.ts';
import { unfitInstrument } from './instruments.ts';
import type { Job } from './job.ts';
import { refusedCommand, refusedRequest } from './misformed-request.ts';
import { refusedOccasion } from './occasion.ts';
import { alikePerson, personName, refusedName } from './person-name.ts';
import type { Refusal } from './refusal.ts';

/** Facts to append as a whole, with the job that they make; or why nothing has changed. */
export type Decided =
  | { readonly facts: readonly Fact[]; readonly job: Job; readonly refusals?: undefined }
  | { readonly refusals: readonly Refusal[]; readonly facts?: undefined; readonly job?: undefined };

/** Starts a job: checks that every required role is filled and every instrument that needs it is identified and in date. */
export function start(plan: Plan, asked: StartRequest, said: Occasion): Decided {
  const unread = refusedOccasion(said) ?? refusedRequest(asked);
  if (unread !== undefined) return { refusals: [unread] };
  const persons = asked.persons.map(({ role, person }) => ({ role, person: personName(person) }));
  const request = { ...asked, persons };
  const occasion = { ...said, by: personName(said.by) };
  const refusals: Refusal[] = asked.persons.flatMap(({ role, person }) => {
    const isUnfilled = plan.persons.includes(role) && person.trim() === '';
    const refused = isUnfilled ? undefined : refusedName(person);
    return refused === undefined ? [] : [{ ...refused, about: role }];
  });
  for (const role of plan.persons) {
    if (!request.persons.some((one) => one.role === role && one.person.trim() !== '')) {
      refusals.push({
        code: 'unknown-person',
        message: `The role ${role} is not filled.`,
        remedy: 'Say who fills it.',
        about: role,
      });
    }
  }
  for (const { role } of request.persons) {
    if (plan.roles.some((one) => one.id === role)) continue;
    refusals.push({
      code: 'wrong-role',
      message: `There is no role ${role}.`,
      remedy: `Roles: ${plan.roles.map((one) => one.id).join(', ')}.`,
      about: role,
    });
  }
  if (!request.persons.some((one) => one.person === occasion.by)) refusals.push(stranger(occasion.by));
  const people = [...new Set(request.persons.map((one) => one.person))];
  const alike = people.flatMap((one, place) => alikePerson(one, people.slice(0, place)) ?? []);
  refusals.push(...alike);
  const alone = aloneRefusal(plan, request);
  if (alone !== undefined) refusals.push(alone);
  for (const needed of plan.instruments) {
    if (!needed.calibrated || needed.onlyIfMeasured === true) continue;
    const used = request.instruments.find((one) => one.kind === needed.id);
    if (used === undefined) {
      refusals.push({
        code: 'instrument-missing',
        message: `This job needs this instrument, and none is named: ${needed.title}.`,
        remedy: 'Name the one that will be used, by the number on it and the last day of its calibration.',
        about: needed.id,
      });
    }
  }
  for (const used of request.instruments) {
    const refusal = unfitInstrument(plan, used, occasion.at, request.instruments);
    if (refusal !== undefined) refusals.push(refusal);
  }
  if (refusals.length > 0) return { refusals };
  const batch = Batch.starting(plan, occasion, {
    kind: 'started',
    pack: plan.pack.id,
    revision: plan.pack.revision,
    bundle: request.bundle,
    procedure: plan.procedure.id,
    variant: plan.variant.id,
    persons: request.persons,
    instruments: request.instruments,
  });
  return { facts: batch.facts, job: batch.job };
}

/** A refusal when one person fills every role, and a step or a hold point needs another one. */
function aloneRefusal(plan: Plan, { persons }: StartRequest): Refusal | undefined {
  if (new Set(persons.map((one) => one.person)).size !== 1) return undefined;
  const step = plan.nodes.find(
    (node) => node.node === 'step' && (node.witness !== undefined || node.together !== undefined),
  );
  const point = plan.nodes.find((node) => node.node === 'hold');
  const where = step ?? point;
  if (where === undefined) return undefined;
  return {
    code: 'same-person',
    message: `${persons[0]?.person ?? 'One person'} fills every role, and ${where.path} needs a second person.`,
    remedy: 'Name another person for one of the roles.',
    about: where.path,
  };
}

const stranger = (person: string): Refusal => ({
  code: 'unknown-person',
  message: `${person === '' ? 'Nobody' : person} is not named in this job.`,
  remedy: 'Act as one of the persons that the job was started with.',
  about: person,
});

/**
 * Decides a command: facts, or refusals with reasons. Numbers, names and the clock come in here and nowhere else.
 * `expectedSeq`, where given, is the sequence number that the asker has seen last.
 */
export function decide(
  plan: Plan,
  job: Job,
  command: Command,
  said: Occasion,
  expectedSeq?: number,
): Decided {
  const unread = refusedOccasion(said) ?? refusedCommand(command);
  if (unread !== undefined) return { refusals: [unread] };
  const occasion = { ...said, by: personName(said.by) };
  const refusal = beforehand(job, command, occasion, expectedSeq);
  if (refusal !== undefined) return { refusals: [refusal] };
  const answer = answerTo(plan, job, command, occasion);
  if (!(answer instanceof Batch)) return { refusals: answer };
  const setBack = clockSetBack(plan, answer.job);
  return setBack === undefined ? { facts: answer.facts, job: answer.job } : { refusals: [setBack] };
}

function beforehand(
  job: Job,
  command: Command,
  occasion: Occasion,
  expectedSeq: number | undefined,
): Refusal | undefined {
  if (job.control.closed !== undefined) {
    return { code: 'job-closed', message: 'This job is closed.', remedy: 'Start a new job.' };
  }
  if (expectedSeq !== undefined && expectedSeq !== job.seq) {
    return {
      code: 'stale-sequence',
      message: `The job has moved on to fact ${job.seq}; the command was made at ${expectedSeq}.`,
      remedy: 'Look at the job again, and repeat the command if it still applies.',
    };
  }
  if (!job.persons.some((one) => one.person === occasion.by)) return stranger(occasion.by);
  if (job.control.parked && !['resume', 'note', 'abandon'].includes(command.command)) {
    return { code: 'job-parked', message: 'This job is parked.', remedy: 'Resume it first.' };
  }
  return undefined;
}

function answerTo(plan: Plan, job: Job, command: Command, occasion: Occasion): Answering {
  const batch = Batch.onto(plan, job, occasion);
  switch (command.command) {
    case 'acknowledge':
      return acknowledge(plan, batch, command.step);
    case 'done':
      return done(plan, batch, command, occasion);
    case 'omit':
      return omit(plan, batch, command, occasion);
    case 'record':
      return record(plan, batch, command, occasion);
    case 'carry':
      return carry(plan, batch, command, occasion);
    case 'witness':
      return witness(plan, batch, command.step, occasion);
    case 'release':
      return release(plan, batch, command, occasion);
    case 'strike':
      return strike(plan, batch, command);
    case 'equip':
      return equip(plan, batch, command, occasion);
    case 'allow':
      return allow(plan, batch, command, occasion);
    case 'out-of-stock':
      return outOfStock(plan, batch, command);
    case 'join':
      return join(plan, batch, command);
    case 'note':
      return note(batch, command.text);
    case 'park':
      return park(plan, batch, command.reason);
    case 'resume':
      return resume(plan, batch, command.confirmed);
    case 'close':
      return close(plan, batch);
    case 'abandon':
      return abandon(batch, command.reason);
  }
}
