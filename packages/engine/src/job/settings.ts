import { adapterRatio, type Instrument, leastSpecified, wrenchSetting } from '../measure/index.ts';
import type { Act, Plan } from '../model/plan.ts';
import {
  type Amount,
  parseQuantity,
  type Quantity,
  Rational,
  writeAmount,
  writeQuantity,
} from '../quantity/index.ts';
import type { InstrumentUsed, Setting } from './fact.ts';
import { chosenInstrument, instrumentOf } from './instruments.ts';
import type { Job } from './job.ts';
import type { Refusal } from './refusal.ts';

type Tighten = Extract<Act, { act: 'tighten' }>;

/** A wrench that is chosen for a step, with what it is set to for each torque. */
export interface SetWrench {
  readonly used?: InstrumentUsed;
  readonly instrument?: Instrument;
  readonly settings: readonly Setting[];
  /** What its range has to reach: each setting, and what it was before it was rounded to a step of the scale. */
  readonly indications: readonly Quantity[];
}

/**
 * What the wrench of a step that tightens is set to, by the one that is named or the one that the job has; or why it cannot
 * be said: none is there, or its length is not known where an adapter is used. Whether it fits is not looked at.
 */
export function setWrench(
  plan: Plan,
  job: Job,
  act: Tighten,
  identity: string | undefined,
): SetWrench | { readonly refusal: Refusal } {
  if (act.wrench === undefined) return { settings: [], indications: [] };
  const chosen = chosenInstrument(plan, job, act.wrench, identity);
  if ('refusal' in chosen) return chosen;
  const { used } = chosen;
  const instrument = instrumentOf(plan, used ?? { kind: act.wrench, identity: act.wrench });
  if (instrument === undefined) return { settings: [], indications: [] };
  const ratio = ratioOf(plan, instrument, act);
  if ('code' in ratio) return { refusal: ratio };
  const taken = act.running === undefined ? undefined : job.taken[act.running];
  const running = taken?.entry === 'reading' ? taken.quantity : undefined;
  const unknown = unusableRunning(plan, act, taken);
  if (unknown !== undefined) return { refusal: unknown };
  const least = specifiedFrom(plan, instrument, used);
  const settings: Setting[] = [];
  const indications: Quantity[] = [];
  for (const [place, stage] of act.stages.entries()) {
    if (stage.stage !== 'torque') continue;
    const { torque } = stage;
    const { set, exact, gives } = wrenchSetting(torque, running, ratio, instrument.resolution);
    if (isTooFar(set.value, exact.value)) return { refusal: tooCoarse(plan, instrument, set, exact) };
    // Set as it is asked for, it is written in the digits of the procedure.
    indications.push(exact.value.equals(torque.value) ? torque : { ...set, value: exact.value }, set);
    settings.push({
      stage: place + 1,
      torque: writeQuantity(torque),
      set: writeQuantity(set),
      gives: writeAmount(gives, torque.unit, Math.max(torque.decimals, set.decimals)),
      ...(running === undefined ? {} : { running: writeQuantity(running) }),
      ...(least === undefined || set.value.compare(least.value) >= 0
        ? {}
        : { specifiedFrom: writeAmount(least, set.unit, set.decimals) }),
      ...(act.adapter === undefined || instrument.length === undefined
        ? {}
        : {
            adapter: {
              length: writeQuantity(act.adapter.length),
              angle: writeQuantity(act.adapter.angle),
              wrench: writeQuantity(instrument.length),
            },
          }),
    });
  }
  return { ...(used === undefined ? {} : { used }), instrument, settings, indications };
}

/** A running torque beyond its scale has no value. It is not taken; a job that was kept may have it all the same. */
function unusableRunning(plan: Plan, { running }: Tighten, taken: Job['taken'][number]): Refusal | undefined {
  if (running === undefined || taken?.entry !== 'reading' || taken.beyond === undefined) return undefined;
  const name = plan.entries[running]?.name ?? '';
  return {
    code: 'beyond-scale',
    message: `${name} lies beyond the scale, so it is not known what has to be added to the torque.`,
    remedy: `Strike it, and take ${name} with an instrument that reaches further.`,
    about: name,
  };
}

/**
 * The least torque for which a wrench is specified: where its error is a share of what it indicates, as its class says it, a
 * fifth of its largest torque (common practice; ISO 6789-1 tests from there on).
 */
function specifiedFrom(
  plan: Plan,
  { permissibleError, range, kind }: Instrument,
  used: InstrumentUsed | undefined,
): Amount | undefined {
  if (permissibleError === undefined || permissibleError.fixed.sign > 0) return undefined;
  // Its own largest torque, and not only as much of it as the pack lets be used.
  const own = used?.range === undefined ? undefined : parseQuantity(used.range[1], 'torque');
  const declared = plan.instruments.find((one) => one.id === kind)?.range[1] ?? range[1];
  const largest = own !== undefined && 'quantity' in own ? own.quantity : declared;
  return { kind: 'torque', value: leastSpecified(largest) };
}

/** The widest that a torque tool may be off, 6 % (ISO 6789-1:2017, 5.1.5): a step further off than that is no setting. */
const WIDEST = Rational.of(6, 100);
const isTooFar = (set: Rational, exact: Rational): boolean =>
  set.minus(exact).abs().compare(exact.abs().times(WIDEST)) > 0;

function tooCoarse(
  plan: Plan,
  { kind, identity, resolution }: Instrument,
  set: Quantity,
  exact: Amount,
): Refusal {
  const name =
    identity === kind ? (plan.instruments.find((one) => one.id === kind)?.title ?? kind) : identity;
  const wanted = writeAmount(exact, set.unit, set.decimals + 1);
  return {
    code: 'beyond-instrument',
    message: `${name} has steps of ${writeQuantity(resolution)}: the nearest to ${wanted} is ${writeQuantity(set)}, and that is more than 6 % off.`,
    remedy: 'Use a wrench with finer steps.',
    about: identity,
  };
}

function ratioOf(
  plan: Plan,
  { kind, identity, length }: Instrument,
  { adapter }: Tighten,
): Rational | Refusal {
  if (adapter === undefined) return Rational.one;
  const title = plan.instruments.find((one) => one.id === kind)?.title ?? kind;
  if (length === undefined) {
    return {
      code: 'wrench-length',
      message: `An adapter is used, and the length of ${identity === kind ? title : identity} is not stated.`,
      remedy:
        'Measure it from the drive to the middle of the grip, and take the wrench into use again with it.',
      about: kind,
    };
  }
  return (
    adapterRatio(length, adapter) ?? {
      code: 'wrench-length',
      message: `An adapter of ${writeQuantity(adapter.length)} at ${writeQuantity(adapter.angle)} leaves no lever on ${writeQuantity(length)} of ${identity === kind ? title : identity}.`,
      remedy: 'Use a longer wrench, or look at its length and at the adapter again.',
      about: kind,
    }
  );
}
