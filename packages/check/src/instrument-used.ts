import type { InstrumentInUse, InstrumentUsed } from '@ferrule/engine';

/** An instrument as a job is told of it, from how it is written in answers and lists. */
export function instrumentUsed(kind: string, written: InstrumentInUse): InstrumentUsed {
  const { identity, due, resolution, length, calibration } = written;
  const [low, high] = written.range ?? [];
  const error = written['maximum-permissible-error'];
  const common = written['common-error'];
  const degrees = calibration?.['degrees-of-freedom'];
  return {
    kind,
    identity,
    ...(due === undefined ? {} : { due }),
    ...(low === undefined || high === undefined ? {} : { range: [low, high] as const }),
    ...(resolution === undefined ? {} : { resolution }),
    ...(error === undefined ? {} : { maximumPermissibleError: error }),
    ...(common === undefined ? {} : { commonError: common }),
    ...(calibration === undefined
      ? {}
      : {
          calibration: {
            expandedUncertainty: calibration['expanded-uncertainty'],
            coverageFactor: calibration['coverage-factor'],
            ...(degrees === undefined ? {} : { degreesOfFreedom: Number(degrees) }),
          },
        }),
    ...(length === undefined ? {} : { length }),
  };
}
