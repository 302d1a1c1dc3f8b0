import type { Amount, Kind, Quantity, Rational } from '../quantity/index.ts';
import { isFullDate, isTime } from './date.ts';
import type { PermissibleError } from './permissible-error.ts';

/** An instrument as a job used it: its kind in the pack, which one it was, and what it could do on that day. */
export interface Instrument {
  readonly kind: string;
  readonly identity: string;
  readonly quantity: Kind;
  readonly range: readonly [Quantity, Quantity];
  readonly resolution: Quantity;
  readonly permissibleError?: PermissibleError;
  /** From the calibration certificate: its expanded uncertainty by its coverage factor. */
  readonly calibration?: { readonly standard: Rational; readonly degreesOfFreedom?: number };
  /** The half-width of the error that all its readings share, where the pack states it. */
  readonly commonError?: Rational;
  /** Of a torque wrench: from its drive to the middle of the grip. */
  readonly length?: Quantity;
  /** Last day on which its calibration holds: an RFC 3339 full-date. Absent when it needs none. */
  readonly due?: string;
}

export type Unsuitable =
  | { readonly because: 'beyond-instrument'; readonly range: readonly [Quantity, Quantity] }
  | { readonly because: 'instrument-overdue'; readonly due: string };

/**
 * Every reason why an instrument may not take this reading. `on` is the RFC 3339 time of the reading; the due date
 * holds to the end of that day in the offset of `on`.
 */
export function unsuitable(instrument: Instrument, indication: Quantity, on: string): readonly Unsuitable[] {
  const late = overdue(instrument, on);
  return [
    ...(isInRange(instrument, indication)
      ? []
      : [{ because: 'beyond-instrument', range: instrument.range } as const]),
    ...(late === undefined ? [] : [late]),
  ];
}

/** Whether an indication lies on the part of the scale that may be used, its ends included. */
export function isInRange({ range: [lowest, highest] }: Instrument, { value }: Amount): boolean {
  return value.compare(lowest.value) >= 0 && value.compare(highest.value) <= 0;
}

/**
 * Whether the calibration of an instrument had run out at an RFC 3339 time. What is no date, or no time, proves nothing:
 * then it counts as run out.
 */
export function overdue(instrument: Instrument, on: string): Unsuitable | undefined {
  const { due } = instrument;
  if (due === undefined) return undefined;
  const isCertain = isFullDate(due) && isTime(on);
  return isCertain && on.slice(0, 10) <= due ? undefined : { because: 'instrument-overdue', due };
}
