import {
  halfWidthOver,
  howErrorsAreWritten,
  type Instrument,
  isFullDate,
  isSameError,
  overdue,
  parsePermissibleError,
  spanKind,
} from '../measure/index.ts';
import type { Plan, PlanInstrument } from '../model/plan.ts';
import { type Kind, kindName, parseQuantity, type Quantity, Rational } from '../quantity/index.ts';
import type { InstrumentUsed } from './fact.ts';
import type { Job } from './job.ts';
import { looksLike } from './look-alike.ts';
import { unseen } from './person-name.ts';
import type { Refusal } from './refusal.ts';
import { refusedText } from './said.ts';

/** An instrument that a job names, with what the pack says of its kind where the job says nothing. */
export function instrumentOf(plan: Plan, used: InstrumentUsed): Instrument | undefined {
  const kind = plan.instruments.find((one) => one.id === used.kind);
  if (kind === undefined) return undefined;
  const known = instruments.get(used);
  if (known?.of === kind) return known.instrument;
  const instrument = made(kind, used);
  instruments.set(used, { of: kind, instrument });
  return instrument;
}

/** What was said of an instrument, read once: readings name the same object again and again. */
const instruments = new WeakMap<InstrumentUsed, { of: PlanInstrument; instrument: Instrument }>();

function made(kind: PlanInstrument, used: InstrumentUsed): Instrument {
  // An instrument may reach further than the pack lets its kind be used, and never widens that.
  const length = own(used.length, 'length') ?? kind.length;
  const low = further(own(used.range?.[0], kind.quantity), kind.range[0], 1);
  const high = further(own(used.range?.[1], kind.quantity), kind.range[1], -1);
  const scale = [
    own(used.range?.[0], kind.quantity) ?? low,
    own(used.range?.[1], kind.quantity) ?? high,
  ] as const;
  const error = used.maximumPermissibleError;
  const ownError = error === undefined ? undefined : parsePermissibleError(error, kind.quantity, scale);
  const permissibleError = ownError ?? kind.permissibleError;
  // What is common is a part of an error. Of another error than that of its kind it is not known, unless it is said.
  const isOfKind = ownError === undefined || isSameError(ownError, kind.permissibleError);
  const commonError =
    own(used.commonError, spanKind(kind.quantity))?.value ?? (isOfKind ? kind.commonError : undefined);
  const calibration = certified(used, kind.quantity) ?? kind.calibration;
  return {
    kind: used.kind,
    identity: used.identity,
    quantity: kind.quantity,
    range: [low, high],
    resolution: own(used.resolution, spanKind(kind.quantity)) ?? kind.resolution,
    ...(permissibleError === undefined ? {} : { permissibleError }),
    ...(calibration === undefined ? {} : { calibration }),
    ...(commonError === undefined ? {} : { commonError }),
    ...(length === undefined ? {} : { length }),
    ...(used.due === undefined ? {} : { due: used.due }),
  };
}

/** What the certificate of an instrument comes to; undefined where there is none, or it cannot be read. */
function certified({ calibration }: InstrumentUsed, kind: Kind): Instrument['calibration'] {
  const expanded = own(calibration?.expandedUncertainty, spanKind(kind));
  const factor = Rational.parse(calibration?.coverageFactor ?? '');
  if (expanded === undefined || factor === undefined) return undefined;
  if (factor.sign <= 0 || expanded.value.sign <= 0) return undefined;
  const degreesOfFreedom = calibration?.degreesOfFreedom;
  return {
    standard: expanded.value.over(factor),
    ...(degreesOfFreedom === undefined ? {} : { degreesOfFreedom }),
  };
}

/**
 * Why an instrument cannot be used in a job at all, whatever it is to measure. One of another job is not looked at. `others`
 * are the instruments of the job.
 */
export function unfitInstrument(
  plan: Plan,
  used: InstrumentUsed,
  at: string,
  others: readonly InstrumentUsed[] = [],
): Refusal | undefined {
  const declared = plan.instruments.find((one) => one.id === used.kind);
  const instrument = instrumentOf(plan, used);
  if (declared === undefined || instrument === undefined) return undefined;
  const { identity: about } = used;
  const refused = refusedText(about, 'The identity', 64);
  if (refused !== undefined) return refused;
  if (unseen.test(about)) {
    return {
      code: 'wrong-shape',
      message: 'The identity contains a sign that cannot be seen.',
      remedy: 'Type it again as it stands on the instrument.',
      about,
    };
  }
  const alike = others.find((one) => one.identity !== about && looksLike(one.identity, about));
  if (alike !== undefined) {
    return {
      code: 'other-instrument',
      message: `${about} and ${alike.identity} look like one identity.`,
      remedy: 'Write the identity of one instrument in one way.',
      about,
    };
  }
  const { quantity } = declared;
  const unread =
    used.range?.find((text) => own(text, quantity) === undefined) ??
    [used.resolution].find((text) => text !== undefined && own(text, spanKind(quantity)) === undefined);
  if (unread !== undefined) {
    return {
      code: 'not-a-number',
      message: `"${unread}" is no ${kindName(declared.quantity)}, and ${about} measures that.`,
      remedy: 'Say its range and resolution as they stand on it, with the unit.',
      about,
    };
  }
  const [low, high] = (used.range ?? []).map((text) => own(text, quantity));
  const isReversed = low !== undefined && high !== undefined && low.value.compare(high.value) >= 0;
  const hasNoSteps = (own(used.resolution, spanKind(quantity))?.value.sign ?? 1) <= 0;
  if (isReversed || hasNoSteps || (used.range !== undefined && used.range.length !== 2)) {
    return {
      code: 'not-a-number',
      message: `The range or the resolution of ${about} cannot be right.`,
      remedy:
        'Say the lowest indication before the highest, and a resolution above zero, as they stand on it.',
      about,
    };
  }
  const { maximumPermissibleError: error, calibration } = used;
  const isNoError =
    error !== undefined && parsePermissibleError(error, quantity, declared.range) === undefined;
  const degrees = calibration?.degreesOfFreedom;
  const isNoCertificate =
    (calibration !== undefined && certified(used, quantity) === undefined) ||
    (degrees !== undefined && !(degrees >= 1));
  if (isNoError || isNoCertificate) {
    return {
      code: 'not-a-number',
      message: `The ${isNoError ? 'maximum permissible error' : 'calibration'} of ${about} cannot be read.`,
      remedy: isNoError
        ? howErrorsAreWritten
        : 'Write the expanded uncertainty with its unit, and the coverage factor, as the certificate says them.',
      about,
    };
  }
  if (used.commonError !== undefined) {
    const common = own(used.commonError, spanKind(quantity))?.value;
    const { permissibleError, range } = instrument;
    const most = permissibleError && halfWidthOver(permissibleError, range);
    if (common === undefined || common.sign < 0 || most === undefined || common.compare(most) > 0)
      return {
        code: 'not-a-number',
        message: `"${used.commonError}" cannot be what all readings with ${about} have in common.`,
        remedy:
          'It is a part of its maximum permissible error: write the smaller value, or leave it out; then nothing is taken to cancel.',
        about,
      };
  }
  if (used.length !== undefined && (own(used.length, 'length')?.value.sign ?? 0) <= 0) {
    return {
      code: 'not-a-number',
      message: `"${used.length}" is no length of a wrench.`,
      remedy: 'Measure from the drive to the middle of the grip, and say it with the unit.',
      about,
    };
  }
  if (used.due !== undefined && !isFullDate(used.due)) {
    return {
      code: 'instrument-overdue',
      message: `"${String(used.due)}" is no date, so nothing says that the calibration of ${about} still holds.`,
      remedy: 'Write the last day on which it holds like 2027-01-31.',
      about,
    };
  }
  if (declared.calibrated && used.due === undefined) {
    return {
      code: 'instrument-missing',
      message: `${about} has no calibration due date, and a ${declared.title} needs one.`,
      remedy: 'Look at its label.',
      about,
    };
  }
  const late = overdue(instrument, at);
  // By concession it may be used, and that is asked for when it is.
  if (late?.because !== 'instrument-overdue' || declared.overdueBy !== undefined) return undefined;
  return {
    code: 'instrument-overdue',
    message: `The calibration of ${about} ran out on ${late.due}.`,
    remedy: 'Use an instrument that is in date.',
    about,
  };
}

/** The bound that allows less: the higher of two lower ones (`side` 1), the lower of two upper ones (`side` −1). */
function further(own: Quantity | undefined, kind: Quantity, side: 1 | -1): Quantity {
  return own !== undefined && own.value.compare(kind.value) === side ? own : kind;
}

function own(text: string | undefined, kind: Instrument['quantity']): Quantity | undefined {
  const read = text === undefined ? undefined : parseQuantity(text, kind);
  return read !== undefined && 'quantity' in read ? read.quantity : undefined;
}

/** The instrument of a kind that is used: the one that is named, or the one that the job has; or why there is none. */
export function chosenInstrument(
  plan: Plan,
  job: Job,
  kind: string,
  identity: string | undefined,
): { readonly used: InstrumentUsed | undefined } | { readonly refusal: Refusal } {
  const ofKind = job.instruments.filter((one) => one.kind === kind);
  const used = identity === undefined ? ofKind.at(-1) : ofKind.findLast((one) => one.identity === identity);
  const declared = plan.instruments.find((one) => one.id === kind);
  const title = declared?.title ?? kind;
  if (used === undefined && identity !== undefined) {
    const named = ofKind.map((one) => one.identity).join(', ');
    return {
      refusal: {
        code: 'instrument-missing',
        message: `${identity} is not a ${title} of this job.`,
        remedy: named === '' ? 'Add it to the job first.' : `Use ${named}, or add it to the job first.`,
        about: kind,
      },
    };
  }
  if (used === undefined && declared?.calibrated === true) {
    return {
      refusal: {
        code: 'instrument-missing',
        message: `No ${title} is named in this job.`,
        remedy: 'Add the instrument to the job, with its identity and due date.',
        about: kind,
      },
    };
  }
  return { used };
}
