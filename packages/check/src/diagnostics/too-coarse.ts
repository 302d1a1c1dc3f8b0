import {
  type Entry,
  type Plan,
  type PlanTolerance,
  parseStatement,
  pointerTo,
  Rational,
  valueAt,
  valueIn,
  writeQuantity,
} from '@ferrule/engine';
import { limitsAt } from '../limits-at.ts';
import { type FindingOfVariant, oncePerPlace } from '../once-per-place.ts';
import { suitabilityIn } from '../suitability-in.ts';
import { errorsOf, withWhat } from './cannot-judge.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const tooCoarse: DiagnosticKind = {
  code: 'too-coarse',
  severity: 'warning',
  says: 'An instrument cannot show what its limits ask for.',
  marks: 'value',
  examine: coarseInstruments,
};

function* coarseInstruments(subject: Subject): Generator<Finding> {
  yield* oncePerPlace(inTolerances(subject));
  for (const { instruments } of subject.plans) {
    for (const { id, range, resolution } of instruments) {
      if (resolution.value.compare(range[1].value.minus(range[0].value)) <= 0) continue;
      yield {
        pointer: pointerTo('/instruments', id, 'resolution'),
        message: `${id} shows steps of ${writeQuantity(resolution)}, and its whole range is no longer than one.`,
        remedy: 'Correct the resolution or the range.',
      };
    }
  }
}

function* inTolerances({ pack, plans }: Subject): Generator<FindingOfVariant> {
  // What is refused altogether is told by cannot-judge.
  const refused = new Set(
    plans.flatMap((plan) =>
      suitabilityIn(plan).flatMap((one) =>
        one.sufficiency === 'cannot-judge' ? [one.tolerance.pointer] : [],
      ),
    ),
  );
  for (const plan of plans) {
    const entries = new Map(plan.entries.map((entry) => [entry.name, entry]));
    const coarse: FindingOfVariant[] = [];
    for (const one of suitabilityIn(plan)) {
      const { tolerance } = one;
      if (refused.has(tolerance.pointer)) continue;
      if (one.sufficiency === 'coarse') {
        const asked = tolerance.capability.toDecimal(2).replace(/\.?0+$/, '');
        const isWritten = valueAt(pack, pointerTo(tolerance.pointer, 'capability')) !== undefined;
        coarse.push({
          variant: plan.variant.id,
          pointer: limitsAt(tolerance, pack),
          message: `${withWhat(one)} the limits ${tolerance.says} are only ${one.capability} times as wide as twice the expanded uncertainty, ${one.expandedUncertainty}; ${isWritten ? 'the tolerance asks for' : 'usual is'} ${asked}.`,
          remedy: `Name a finer instrument${isWritten ? '' : ', or say in capability: how much is enough here'}.`,
          other: [
            ...errorsOf(one, pack),
            ...(isWritten
              ? [{ pointer: pointerTo(tolerance.pointer, 'capability'), message: 'what it asks for' }]
              : []),
          ],
        });
      }
      const instrument = instrumentOf(tolerance, plan, entries);
      if (instrument === undefined) continue;
      const { id, resolution } = instrument;
      const { low, high } = tolerance.limits;
      const width = low === undefined || high === undefined ? undefined : high.value.minus(low.value);
      const at = pointerTo('/instruments', id);
      const error = parseStatement(pack.instruments?.[id]?.['maximum-permissible-error'] ?? '');
      if (width !== undefined && width.compare(resolution.value) < 0) {
        yield {
          variant: plan.variant.id,
          pointer: limitsAt(tolerance, pack),
          message: `${id} shows steps of ${writeQuantity(resolution)}, which are wider than the limits ${tolerance.says}.`,
          remedy: 'Name a finer instrument, or look the limits up.',
          other: [{ pointer: pointerTo(at, 'resolution'), message: writeQuantity(resolution) }],
        };
      } else if (
        width !== undefined &&
        'original' in error &&
        width.compare(error.original.value.times(Rational.of(2))) < 0
      ) {
        yield {
          variant: plan.variant.id,
          pointer: limitsAt(tolerance, pack),
          message: `${id} may be wrong by ${writeQuantity(error.original)} either way, which is more than the limits ${tolerance.says} leave.`,
          remedy: 'Name a better instrument, or look the limits up.',
          other: [
            { pointer: pointerTo(at, 'maximum-permissible-error'), message: writeQuantity(error.original) },
          ],
        };
      } else if (tolerance.value.node === 'name' && hasMoreDigits(tolerance, resolution)) {
        yield {
          variant: plan.variant.id,
          pointer: limitsAt(tolerance, pack),
          message: `The limits ${tolerance.says} have more digits than ${id} shows: its steps are ${writeQuantity(resolution)}.`,
          remedy: 'Name a finer instrument, or write the limits as they can be read.',
          other: [{ pointer: pointerTo(at, 'resolution'), message: writeQuantity(resolution) }],
        };
      }
    }
    yield* coarse;
  }
}

/** Whether a limit, in the unit of the resolution, needs more decimal places than that has. */
function hasMoreDigits(
  { limits, unit }: PlanTolerance,
  resolution: Plan['instruments'][number]['resolution'],
): boolean {
  if (unit.symbol !== resolution.unit.symbol) return false;
  const places = Rational.of(10n ** BigInt(resolution.decimals));
  return [limits.low, limits.high, limits.nominal].some((one) => {
    if (one === undefined) return false;
    const scaled = valueIn(one, unit).times(places);
    return !scaled.equals(scaled.floor());
  });
}

/** The one instrument by which what is judged is read: as it was read, or as a difference of two readings. */
function instrumentOf(
  { value }: PlanTolerance,
  plan: Plan,
  entries: ReadonlyMap<string, Entry>,
): Plan['instruments'][number] | undefined {
  const names =
    value.node === 'name'
      ? [value.name]
      : value.node === 'calculation' && (value.operation === 'minus' || value.operation === 'spread')
        ? value.operands.map((one) => (one.node === 'name' ? one.name : undefined))
        : [];
  const ids = new Set(
    names.map((name) => {
      const entry = name === undefined ? undefined : entries.get(name);
      return entry?.entry === 'reading' ? entry.instrument : undefined;
    }),
  );
  const [id] = ids;
  return ids.size === 1 && id !== undefined ? plan.instruments.find((one) => one.id === id) : undefined;
}
