import { type Pack, pointerTo, type RelatedPlace, type Suitability } from '@ferrule/engine';
import { limitsAt } from '../limits-at.ts';
import { type FindingOfVariant, oncePerPlace } from '../once-per-place.ts';
import { suitabilityIn } from '../suitability-in.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const cannotJudge: DiagnosticKind = {
  code: 'cannot-judge',
  severity: 'error',
  says: 'With the instrument that is named no value could come out conforming.',
  marks: 'value',
  examine: (subject: Subject): Iterable<Finding> => oncePerPlace(hopelessTolerances(subject)),
};

function* hopelessTolerances({ pack, plans }: Subject): Generator<FindingOfVariant> {
  for (const plan of plans) {
    for (const one of suitabilityIn(plan)) {
      if (one.sufficiency !== 'cannot-judge') continue;
      yield {
        variant: plan.variant.id,
        pointer: limitsAt(one.tolerance, pack),
        message: `${withWhat(one)} no value could be called conforming to ${one.tolerance.says}: the expanded uncertainty is ${one.expandedUncertainty}, and the rule leaves nothing ${isOneSided(one) ? 'that is plausible' : 'between its guard bands'}.`,
        remedy: 'Name a finer instrument, or look the limits up.',
        other: errorsOf(one, pack),
      };
    }
  }
}

const isOneSided = ({ tolerance: { limits } }: Suitability): boolean =>
  limits.low === undefined || limits.high === undefined;

/** `With dial-indicator`: the instruments by which a tolerance is read, to begin a sentence. */
export const withWhat = ({ kinds }: Suitability): string =>
  kinds.length === 0 ? 'As it is read' : `With ${kinds.join(' and ')}`;

/** Where the errors are written from which the uncertainty comes. */
export const errorsOf = ({ kinds }: Suitability, pack: Pack): readonly RelatedPlace[] =>
  kinds.map((kind) => {
    const written = pack.instruments?.[kind];
    const key = (['maximum-permissible-error', 'calibration', 'torque-class'] as const).find(
      (one) => written?.[one] !== undefined,
    );
    const at = pointerTo('/instruments', kind);
    return key === undefined
      ? { pointer: at, message: 'the instrument' }
      : { pointer: pointerTo(at, key), message: 'what is said of its error' };
  });
