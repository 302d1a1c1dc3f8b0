import type { Guard, Plan, StepNode } from '../model/plan.ts';
import { type Quantity, writeQuantity } from '../quantity/index.ts';
import type { Answering } from './answering.ts';
import type { Batch } from './batch.ts';
import type { Command, Occasion } from './command.ts';
import { PHASE, progressOf } from './control.ts';
import { unfitRefusal } from './decide-allow.ts';
import { didWorkAt } from './doers.ts';
import { actFaults } from './effects.ts';
import { offeredStep } from './here.ts';
import type { Job } from './job.ts';
import { personName } from './person-name.ts';
import type { Refusal } from './refusal.ts';
import { isUnderWay } from './repeats.ts';
import { refusedText } from './said.ts';
import { type SetWrench, setWrench } from './settings.ts';
import { mayBeLeftOut } from './signals.ts';
import { wrongRole } from './wrong-role.ts';

export function acknowledge(plan: Plan, batch: Batch, step: string): Answering {
  const node = offeredStep(plan, batch.job, step, PHASE.hazards);
  if (!('node' in node)) return node;
  return batch.add({ kind: 'acknowledged', step, hazards: node.hazards }).settle();
}

export function done(
  plan: Plan,
  batch: Batch,
  command: Extract<Command, { command: 'done' }>,
  occasion: Occasion,
): Answering {
  const { job } = batch;
  const node = offeredStep(plan, job, command.step, PHASE.act);
  if (!('node' in node)) return node;
  const faults = actFaults(node, job.control.bytes);
  if (faults.length > 0) return faults.map(guardRefusal);
  const second = togetherRefusal(job, node, command, occasion);
  if (second !== undefined) return [second];
  const early = tooSoon(job, node, occasion);
  if (early !== undefined) return [early];
  if (node.act?.act === 'photograph' && command.photograph === undefined) {
    return [
      { code: 'empty', message: 'This step needs a photograph.', remedy: 'Attach it.', about: node.path },
    ];
  }
  const wrench =
    node.act?.act === 'tighten' ? wrenchFor(plan, job, node.act, command.instrument, occasion) : undefined;
  if (wrench !== undefined && 'refusal' in wrench) return [wrench.refusal];
  const together =
    node.together === undefined || command.together === undefined
      ? {}
      : { together: personName(command.together) };
  if (node.act?.act === 'refer-to') {
    const { pack, procedure, title } = node.act;
    return batch.add({ kind: 'referred', step: node.path, pack, procedure, title, ...together }).settle();
  }
  return batch
    .add({
      kind: 'done',
      step: node.path,
      ...together,
      ...(command.photograph === undefined ? {} : { photograph: command.photograph }),
      ...(wrench?.used === undefined ? {} : { instrument: wrench.used }),
      ...(wrench === undefined || wrench.settings.length === 0 ? {} : { settings: wrench.settings }),
      ...(node.act?.act === 'wait' ? { since: job.since } : {}),
    })
    .settle();
}

/** A guard that does not hold, as a refusal in the words of the pack. */
export function guardRefusal(guard: Guard): Refusal {
  const { because } = guard;
  switch (because.guard) {
    case 'interlock':
      return {
        code: 'interlock',
        message: because.says,
        remedy: 'Bring the engine into the state that the law asks for; the procedure has a step for it.',
        about: because.law,
      };
    case 'requirement':
    case 'ends':
      return { code: 'requirement', message: because.says, remedy: 'See to it first.' };
    case 'change-from':
      return {
        code: 'change-from',
        message: because.says,
        remedy: 'The engine is not in the state that this step starts from.',
      };
  }
}

function togetherRefusal(
  job: Job,
  node: StepNode,
  command: Extract<Command, { command: 'done' }>,
  occasion: Occasion,
): Refusal | undefined {
  if (node.together === undefined) return undefined;
  const second = personName(command.together ?? '');
  if (second === '') {
    return {
      code: 'empty',
      message: `Two people do this together: ${node.together} is not named.`,
      remedy: 'Name the second person.',
      about: node.together,
    };
  }
  if (second === occasion.by) {
    return {
      code: 'same-person',
      message: `${second} cannot be both.`,
      remedy: 'Name another person.',
      about: node.together,
    };
  }
  return wrongRole(job, second, node.together);
}

function tooSoon(job: Job, node: StepNode, occasion: Occasion): Refusal | undefined {
  if (node.act?.act !== 'wait') return undefined;
  const waited = Date.parse(occasion.at) - Date.parse(job.since);
  const needed = secondsOf(node.act.time) * 1000;
  if (waited >= needed) return undefined;
  if (waited < 0)
    return {
      code: 'too-soon',
      message: `${writeQuantity(node.act.time)} have to pass since ${job.since}, and it is ${occasion.at} now: the clock was set back in between, so how long was waited is not known.`,
      remedy: 'Set the clock right. If it is right now, wait until it shows that this time has passed since.',
      about: node.path,
    };
  const left = Math.ceil((needed - waited) / 1000);
  return {
    code: 'too-soon',
    message: `${writeQuantity(node.act.time)} have to pass; ${left} s are left.`,
    remedy: 'Wait.',
    about: node.path,
  };
}

/** A time in whole seconds, rounded up; the second is the base unit of times. */
const secondsOf = (time: Quantity): number => Math.ceil(time.value.toNumber());

/** The wrench for a step with its settings, or why it may not be used for them. */
function wrenchFor(
  plan: Plan,
  job: Job,
  act: Extract<StepNode['act'], { act: 'tighten' }>,
  identity: string | undefined,
  occasion: Occasion,
): SetWrench | { readonly refusal: Refusal } {
  const wrench = setWrench(plan, job, act, identity);
  if ('refusal' in wrench || wrench.instrument === undefined) return wrench;
  for (const indication of wrench.indications) {
    const refusal = unfitRefusal(plan, job, wrench.instrument, indication, occasion);
    if (refusal !== undefined) return { refusal };
  }
  return wrench;
}

export function omit(
  plan: Plan,
  batch: Batch,
  command: Extract<Command, { command: 'omit' }>,
  occasion: Occasion,
): Answering {
  const { job } = batch;
  const at = plan.nodes[job.control.at];
  const phase = at === undefined ? PHASE.done : progressOf(plan, job.control, at.index);
  const first = at?.node === 'step' && at.act === undefined ? PHASE.entries : PHASE.act;
  const node = offeredStep(plan, job, command.step, phase === PHASE.hazards ? PHASE.hazards : first);
  if (!('node' in node)) return node;
  if (node.notApplicable === undefined) {
    return [
      {
        code: 'not-offered',
        message: `${node.path} cannot be left out.`,
        remedy: 'Do it.',
        about: node.path,
      },
    ];
  }
  if (!mayBeLeftOut(plan, job.control, node) || isUnderWay(job)) {
    return [
      {
        code: 'not-offered',
        message: `${node.path} has been begun or judged, and cannot be left out any more.`,
        remedy: 'Do it, strike what was wrong, or close the job as unfinished.',
        about: node.path,
      },
    ];
  }
  const role = wrongRole(job, occasion.by, node.notApplicable);
  if (role !== undefined) return [role];
  const reason = refusedText(command.reason, 'The reason');
  if (reason !== undefined) return [reason];
  return batch.add({ kind: 'omitted', step: node.path, reason: command.reason }).settle();
}

export function witness(plan: Plan, batch: Batch, step: string, occasion: Occasion): Answering {
  const { job } = batch;
  const node = offeredStep(plan, job, step, PHASE.witness);
  if (!('node' in node)) return node;
  if (didWorkAt(plan, job, node.index, occasion.by)) {
    return [
      {
        code: 'same-person',
        message: `${occasion.by} did this work and cannot witness it.`,
        remedy: `Another person who is ${node.witness ?? ''} has to look.`,
        about: node.path,
      },
    ];
  }
  const role = wrongRole(job, occasion.by, node.witness ?? '');
  if (role !== undefined) return [role];
  return batch.add({ kind: 'witnessed', step: node.path }).settle();
}
