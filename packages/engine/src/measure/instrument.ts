import type { Kind, Quantity } from '../quantity/index.ts';
import { isFullDate, isTime } from './date.ts';

/** An instrument as a job used it: its kind in the pack, which one it was, and what it could do on that day. */
export interface Instrument {
  readonly kind: string;
  readonly identity: string;
  readonly quantity: Kind;
  readonly range: readonly [Quantity, Quantity];
  readonly resolution: Quantity;
  /** Last day on which its calibration holds: an RFC 3339 full-date. Absent when it needs none. */
  readonly due?: string;
}

export type Unsuitable =
  | { readonly because: 'beyond-instrument'; readonly range: readonly [Quantity, Quantity] }
  | { readonly because: 'instrument-overdue'; readonly due: string };

/**
 * Why an instrument may not take this reading, or undefined. `on` is the RFC 3339 time of the reading; the due date
 * holds to the end of that day in the offset of `on`.
 */
export function unsuitable(instrument: Instrument, indication: Quantity, on: string): Unsuitable | undefined {
  const [lowest, highest] = instrument.range;
  if (indication.value.compare(lowest.value) < 0 || indication.value.compare(highest.value) > 0) {
    return { because: 'beyond-instrument', range: instrument.range };
  }
  return overdue(instrument, on);
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
