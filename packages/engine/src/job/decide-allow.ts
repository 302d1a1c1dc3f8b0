import { type Instrument, type Unsuitable, unsuitable } from '../measure/index.ts';
import type { Plan } from '../model/plan.ts';
import { type Quantity, writeQuantity } from '../quantity/index.ts';
import type { Answering } from './answering.ts';
import type { Batch } from './batch.ts';
import type { Command, Occasion } from './command.ts';
import type { Job } from './job.ts';
import type { Refusal } from './refusal.ts';
import { refusedText } from './said.ts';
import { wrongRole } from './wrong-role.ts';

/** Allows an instrument that would be refused, where the pack lets somebody answer for that. */
export function allow(
  plan: Plan,
  batch: Batch,
  command: Extract<Command, { command: 'allow' }>,
  occasion: Occasion,
): Answering {
  const { instrument, because, reason } = command;
  const { job } = batch;
  const used = job.instruments.find((one) => one.identity === instrument);
  if (used === undefined) {
    return [
      {
        code: 'instrument-missing',
        message: `${instrument} is no instrument of this job.`,
        remedy: `Its instruments: ${job.instruments.map((one) => one.identity).join(', ') || 'none'}.`,
        about: instrument,
      },
    ];
  }
  const role = concessionBy(plan, used.kind, because);
  if (role === undefined) {
    return [
      {
        code: 'no-concession',
        message: `Nobody may allow ${instrument}: the pack gives no concession for it.`,
        remedy: 'Use another instrument.',
        about: instrument,
      },
    ];
  }
  const wrong = wrongRole(job, occasion.by, role) ?? refusedText(reason, 'The reason');
  if (wrong !== undefined) return [wrong];
  return batch.add({ kind: 'allowed', instrument, because, reason });
}

/** The role that may allow an instrument of a kind to be used although it does not fit. */
function concessionBy(plan: Plan, kind: string, because: Unsuitable['because']): string | undefined {
  const declared = plan.instruments.find((one) => one.id === kind);
  return because === 'instrument-overdue' ? declared?.overdueBy : declared?.beyondRangeBy;
}

/** Why an instrument may not be used for a value now, as a refusal; undefined when it fits, or another person allowed it. */
export function unfitRefusal(
  plan: Plan,
  job: Job,
  instrument: Instrument,
  value: Quantity,
  { at, by }: Occasion,
): Refusal | undefined {
  for (const unfit of unsuitable(instrument, value, at)) {
    const refused = refusalOf(instrument.identity, value, unfit);
    const role = concessionBy(plan, instrument.kind, unfit.because);
    if (role === undefined) return refused;
    const allowed = job.allowed.filter(
      (one) => one.instrument === instrument.identity && one.because === unfit.because,
    );
    if (allowed.some((one) => one.by !== by)) continue;
    if (allowed.length === 0)
      return { ...refused, remedy: `${refused.remedy} Or ${role} allows it, with the reason.` };
    return {
      code: 'same-person',
      message: `${by} allowed ${instrument.identity}, and who allows an instrument does not use it.`,
      remedy: 'Another person has to use it, or to allow it.',
      about: instrument.identity,
    };
  }
  return undefined;
}

function refusalOf(identity: string, value: Quantity, unfit: Unsuitable): Refusal {
  if (unfit.because === 'instrument-overdue') {
    return {
      code: 'instrument-overdue',
      message: `The calibration of ${identity} ran out on ${unfit.due}.`,
      remedy: 'Use an instrument that is in date.',
      about: identity,
    };
  }
  const [low, high] = unfit.range;
  return {
    code: 'beyond-instrument',
    message: `${writeQuantity(value)} is beyond the range of ${identity}, ${writeQuantity(low)} to ${writeQuantity(high)}.`,
    remedy: 'Look at the value again, or use an instrument that reaches so far.',
    about: identity,
  };
}
