import { type Read, type Sensitivities, sensitivities, type TypedAmount } from '../logic/index.ts';
import {
  combine,
  halfWidthAt,
  type Instrument,
  isInRange,
  summarise,
  type UncertainReading,
  type Uncertainty,
} from '../measure/index.ts';
import type { Plan } from '../model/plan.ts';
import { type Quantity, Rational } from '../quantity/index.ts';
import { CLOCK_RESOLUTION } from './elapsed.ts';
import type { InstrumentUsed } from './fact.ts';
import { findEntry } from './find.ts';
import { instrumentOf } from './instruments.ts';
import type { Carried } from './job.ts';
import type { ReadingEntry } from './repeats.ts';

/** A reading as it was taken: the value that counts, the instrument where one was named, and all repeats. */
export interface TakenReading {
  readonly quantity: Quantity;
  readonly instrument?: InstrumentUsed;
  readonly repeats?: readonly Quantity[];
  readonly carried?: Carried;
}

/** The readings that were taken, by name. */
export type TakenBy = (name: string) => TakenReading | undefined;

/**
 * The combined uncertainty of an amount that is worked out from readings, by what their instruments can do (JCGM 100, 5).
 * Undefined where it is not known: a reading without an instrument, an instrument of which neither a permissible
 * error nor a calibration is stated, or one that was used beyond its range; a value that was taken over without one. What
 * was taken over enters by the (U/k)² that it came with, as a calibration does. A count is taken as it was counted; the
 * time since a step as two readings of a clock that shows whole seconds.
 */
export function uncertaintyOf(
  plan: Plan,
  value: TypedAmount,
  read: Read,
  taken: TakenBy,
): Uncertainty | undefined {
  const known = sensitivitiesOf(value);
  const coefficients = known.linear
    ? known.coefficients
    : known.at(read, (name) => ownVariance(plan, name, taken));
  if (coefficients === undefined) return undefined;
  const sources: Source[] = [];
  const clock: UncertainReading[] = [];
  for (const [name, coefficient] of coefficients) {
    if (plan.elapsed.some((one) => one.name === name)) {
      // A time is the difference of two, each as the clock showed it.
      const shown = { coefficient, resolution: CLOCK_RESOLUTION, kind: 'clock' };
      clock.push(shown, shown);
      continue;
    }
    const entry = plan.entries[findEntry(plan, name) ?? -1];
    if (entry?.entry !== 'reading') return undefined;
    if (coefficient.sign === 0 || entry.kind === 'count') continue;
    const reading = taken(name);
    if (reading === undefined) return undefined;
    const instrument = reading.carried ?? instrumentFor(plan, entry, reading);
    if (instrument === undefined) return undefined;
    sources.push({ entry, coefficient, reading, instrument });
  }
  const same = known.linear ? kept.get(value) : undefined;
  if (same !== undefined && isSame(same.instruments, sources)) return same.uncertainty;
  const readings = sources.map(uncertain);
  if (!readings.every((one) => one !== undefined)) return undefined;
  const uncertainty = combine([...readings, ...clock]);
  if (known.linear && sources.every(isSteady))
    kept.set(value, { instruments: sources.map((one) => one.instrument), uncertainty });
  return uncertainty;
}

/** What each reading has in the variance of a value by itself, without what they share; nothing where it is not known. */
export function sharesOf(
  plan: Plan,
  value: TypedAmount,
  read: Read,
  taken: TakenBy,
): ReadonlyMap<string, Rational> {
  const known = sensitivitiesOf(value);
  const own = (name: string): Rational => ownVariance(plan, name, taken);
  const coefficients = known.linear ? known.coefficients : known.at(read, own);
  return new Map([...(coefficients ?? [])].map(([name, rate]) => [name, rate.times(rate).times(own(name))]));
}

/** The variance of one reading by itself, by which it is seen whether two of them can be told apart; zero where unknown. */
function ownVariance(plan: Plan, name: string, taken: TakenBy): Rational {
  if (plan.elapsed.some((one) => one.name === name)) return ELAPSED_VARIANCE;
  const entry = plan.entries[findEntry(plan, name) ?? -1];
  const reading = taken(name);
  if (entry?.entry !== 'reading' || entry.kind === 'count' || reading === undefined) return Rational.zero;
  const instrument = reading.carried ?? instrumentFor(plan, entry, reading);
  const one = instrument && uncertain({ entry, coefficient: Rational.one, reading, instrument });
  return one === undefined ? Rational.zero : combine([one]).variance;
}

/** Of two times, each as the clock showed it (JCGM 100, F.2.2.1). */
const ELAPSED_VARIANCE = CLOCK_RESOLUTION.times(CLOCK_RESOLUTION).over(Rational.of(6));

interface Source {
  readonly entry: ReadingEntry;
  readonly coefficient: Rational;
  readonly reading: TakenReading;
  /** What it was taken with, or where it was taken over from. */
  readonly instrument: Instrument | Carried;
}

const prepared = new WeakMap<TypedAmount, Sensitivities>();

/** Whether the sensitivity of a value to each reading is the same whatever is read: of sums, differences and means it is. */
export const isSteadyIn = (value: TypedAmount): boolean => sensitivitiesOf(value).linear;

function sensitivitiesOf(value: TypedAmount): Sensitivities {
  let known = prepared.get(value);
  if (known === undefined) {
    known = sensitivities(value);
    prepared.set(value, known);
  }
  return known;
}

/** The last answer for a value that does not depend on what the instruments showed, only on which they were. */
const kept = new WeakMap<
  TypedAmount,
  { instruments: readonly Source['instrument'][]; uncertainty: Uncertainty }
>();

const isSame = (instruments: readonly Source['instrument'][], sources: readonly Source[]): boolean =>
  instruments.length === sources.length &&
  sources.every((one, place) => one.instrument === instruments[place] && isSteady(one));

const isSteady = ({ instrument, reading }: Source): boolean =>
  !('from' in instrument) &&
  (instrument.permissibleError?.share.sign ?? 0) === 0 &&
  (reading.repeats?.length ?? 1) < 2 &&
  isInRange(instrument, reading.quantity);

/** Instruments that nobody named, one for each kind: what the pack says of the kind is all that is known. */
const unnamed = new WeakMap<Plan, Map<string, InstrumentUsed>>();

function instrumentFor(
  plan: Plan,
  { instrument: kind }: ReadingEntry,
  { instrument }: TakenReading,
): Instrument | undefined {
  if (instrument !== undefined) return instrumentOf(plan, instrument);
  if (kind === undefined) return undefined;
  const kinds = unnamed.get(plan) ?? new Map<string, InstrumentUsed>();
  unnamed.set(plan, kinds);
  const used = kinds.get(kind) ?? { kind, identity: '' };
  kinds.set(kind, used);
  return instrumentOf(plan, used);
}

function uncertain({ entry, coefficient, reading, instrument }: Source): UncertainReading | undefined {
  if ('from' in instrument) return uncertainCarried(entry, coefficient, instrument);
  const { permissibleError, calibration, commonError, identity, kind, resolution } = instrument;
  const { quantity } = reading;
  const all = reading.repeats ?? [quantity];
  if (permissibleError === undefined && calibration === undefined) return undefined;
  // Repeats on a circle are turned to lie beside one another: there the value stands for all.
  const shown = entry.circle === undefined ? all : [quantity];
  if (!shown.every((one) => isInRange(instrument, one))) return undefined;
  const halfWidth = permissibleError && halfWidthAt(permissibleError, quantity.value);
  // More in common than there is of it at this indication is no part of it: then nothing is known to be shared.
  const common = halfWidth && commonError && commonError.compare(halfWidth) <= 0 ? commonError : undefined;
  const spread = all.length > 1 ? summarise(all.map((one) => one.value)) : undefined;
  const variance = entry.repeats?.take === 'mean' ? spread?.varianceOfMean : spread?.variance;
  return {
    coefficient,
    resolution: resolution.value,
    kind,
    ...(identity === '' ? {} : { identity }),
    ...(halfWidth === undefined ? {} : { halfWidth }),
    ...(common === undefined ? {} : { commonHalfWidth: common }),
    ...(calibration === undefined ? {} : { calibration }),
    ...(variance === undefined ? {} : { repeatability: { variance, degreesOfFreedom: all.length - 1 } }),
  };
}

/**
 * A value that was taken over: all that is known of it is U/k. What two of them have in common is not known, so that those
 * of one instrument are combined like two calibrations of it; where several took part, any of its kind may have.
 */
function uncertainCarried(
  { instrument: kind }: ReadingEntry,
  coefficient: Rational,
  { uncertainty, from }: Carried,
): UncertainReading | undefined {
  if (uncertainty === undefined) return undefined;
  const [identity, second] = from.instruments ?? [];
  return {
    coefficient,
    resolution: Rational.zero,
    commonHalfWidth: Rational.zero,
    kind: kind ?? '',
    ...(identity === undefined || second !== undefined ? {} : { identity }),
    calibration: uncertainty,
  };
}
