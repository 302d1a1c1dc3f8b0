import {
  classesOf,
  halfWidthOver,
  howErrorsAreWritten,
  type PermissibleError,
  parsePermissibleError,
  permissibleDeviation,
  spanKind,
} from '../measure/index.ts';
import { parseStatement, type Quantity, Rational, writeQuantity } from '../quantity/index.ts';
import type { Instrument, Pack } from './generated/document.ts';
import type { PlanInstrument } from './plan.ts';
import { pointerTo } from './pointer.ts';
import { readPackQuantity, reportDisagreement } from './read-quantity.ts';
import type { Report } from './report.ts';

/** The kinds of instrument that a plan needs. What is wrong with any of a pack is reported. */
export function planInstruments(
  pack: Pack,
  needed: ReadonlySet<string>,
  report: Report,
): readonly PlanInstrument[] {
  return Object.entries(pack.instruments ?? {}).flatMap(([id, instrument]) => {
    const made = planInstrument(id, instrument, pack, report);
    return made === undefined || !needed.has(id) ? [] : [made];
  });
}

function planInstrument(
  id: string,
  instrument: Instrument,
  pack: Pack,
  report: Report,
): PlanInstrument | undefined {
  const at = pointerTo('/instruments', id);
  const { quantity } = instrument;
  const [low, high] = instrument.range.map((text, place) =>
    readPackQuantity(text, quantity, pointerTo(at, 'range', place), report),
  );
  const resolution = readPackQuantity(
    instrument.resolution,
    spanKind(quantity),
    pointerTo(at, 'resolution'),
    report,
  );
  if (low === undefined || high === undefined || resolution === undefined) return undefined;
  if (resolution.value.sign <= 0)
    report.add(
      'wrong-value',
      pointerTo(at, 'resolution'),
      `A resolution is a step that an instrument shows; this is ${writeQuantity(resolution)}.`,
      { remedy: 'Write the value that is meant.' },
    );
  if (low.value.compare(high.value) >= 0)
    report.add('reversed-pair', pointerTo(at, 'range'), 'The lowest value must stand before the highest.');
  const length =
    instrument.length === undefined
      ? undefined
      : readPackQuantity(instrument.length, 'length', pointerTo(at, 'length'), report);
  if (length !== undefined && (quantity !== 'torque' || length.value.sign <= 0))
    report.add(
      quantity === 'torque' ? 'wrong-value' : 'wrong-quantity',
      pointerTo(at, 'length'),
      'The length is that of a torque wrench, from its drive to the middle of the grip.',
    );
  const made: PlanInstrument = {
    id,
    title: instrument.title,
    quantity,
    range: [low, high],
    resolution,
    ...(length === undefined ? {} : { length }),
    calibrated: instrument.calibrated !== undefined,
    ...errorsOf(instrument, [low, high], at, report),
  };
  for (const [key, of] of [
    ['if-overdue', 'overdueBy'],
    ['if-beyond-range', 'beyondRangeBy'],
  ] as const) {
    const role = instrument[key]?.concession;
    if (role === undefined) continue;
    if (!Object.hasOwn(pack.roles ?? {}, role))
      report.unknown('role', role, Object.keys(pack.roles ?? {}), pointerTo(at, key, 'concession'));
    report.use('roles', role);
    Object.assign(made, { [of]: role });
  }
  return made;
}

/** What the type and class of a torque tool come to: a share of its indication. */
function errorOfClass(
  { quantity, 'torque-class': written }: Instrument,
  largest: Quantity,
  pointer: string,
  report: Report,
): PermissibleError | undefined {
  if (written === undefined) return undefined;
  const at = pointerTo(pointer, 'torque-class');
  if (quantity !== 'torque') {
    report.add('wrong-quantity', at, `Torque tools have a class, and this measures ${quantity}.`, {
      remedy: 'Write maximum-permissible-error: instead.',
    });
    return undefined;
  }
  const share = permissibleDeviation(written, largest);
  if (share === undefined) {
    report.add('wrong-value', pointerTo(at, 'class'), `Type ${written.type} has no class ${written.class}.`, {
      remedy: `It has ${classesOf(written.type).join(', ')}.`,
    });
    return undefined;
  }
  return { fixed: Rational.zero, share };
}

type Errors = Pick<PlanInstrument, 'permissibleError' | 'calibration' | 'commonError'>;

function errorsOf(
  instrument: Instrument,
  range: PlanInstrument['range'],
  at: string,
  report: Report,
): Errors {
  const { quantity } = instrument;
  const written = instrument['maximum-permissible-error'];
  const permissibleError =
    written === undefined
      ? errorOfClass(instrument, range[1], at, report)
      : parsePermissibleError(written, quantity, range);
  if (written !== undefined && instrument['torque-class'] !== undefined)
    report.add(
      'wrong-form',
      pointerTo(at, 'torque-class'),
      'A class and a maximum permissible error stand side by side.',
      {
        remedy: 'Say one of the two: the class says what the error is.',
      },
    );
  if (written !== undefined && permissibleError === undefined)
    report.add(
      'wrong-quantity',
      pointerTo(at, 'maximum-permissible-error'),
      `"${written}" is no error of ${quantity}.`,
      { remedy: howErrorsAreWritten },
    );
  for (const term of written?.split(/\s+\+\s+/) ?? [])
    reportDisagreement(
      parseStatement(term, spanKind(quantity)),
      pointerTo(at, 'maximum-permissible-error'),
      report,
    );
  const { calibration, 'common-error': common } = instrument;
  const expanded =
    calibration === undefined
      ? undefined
      : readPackQuantity(
          calibration['expanded-uncertainty'],
          spanKind(quantity),
          pointerTo(at, 'calibration', 'expanded-uncertainty'),
          report,
        );
  const factor = Rational.parse(calibration?.['coverage-factor'] ?? '1') ?? Rational.zero;
  const isCertain = expanded !== undefined && expanded.value.sign > 0 && factor.sign > 0;
  if (calibration !== undefined && expanded !== undefined && !isCertain)
    report.add(
      'wrong-quantity',
      pointerTo(at, 'calibration', factor.sign > 0 ? 'expanded-uncertainty' : 'coverage-factor'),
      'An uncertainty is above zero, and so is its coverage factor.',
      { remedy: 'Write both as the certificate says them.' },
    );
  const degrees = calibration?.['degrees-of-freedom'];
  const shared =
    common === undefined
      ? undefined
      : readPackQuantity(common, spanKind(quantity), pointerTo(at, 'common-error'), report);
  const isTooMuch =
    shared !== undefined &&
    (permissibleError === undefined ||
      shared.value.sign < 0 ||
      shared.value.compare(halfWidthOver(permissibleError, range)) > 0);
  if (isTooMuch)
    report.add(
      'wrong-quantity',
      pointerTo(at, 'common-error'),
      permissibleError === undefined
        ? 'What is common to all readings is a part of the maximum permissible error, and none is stated.'
        : 'What is common to all readings cannot be more than the maximum permissible error, or below zero.',
      { remedy: 'Write maximum-permissible-error: beside it, and the smaller value here.' },
    );
  return {
    ...(permissibleError === undefined ? {} : { permissibleError }),
    ...(!isCertain || expanded === undefined
      ? {}
      : {
          calibration: {
            standard: expanded.value.over(factor),
            ...(degrees === undefined ? {} : { degreesOfFreedom: Number(degrees) }),
          },
        }),
    ...(shared === undefined || isTooMuch ? {} : { commonError: shared.value }),
  };
}
