import { type Entry, inOtherSystem, type Quantity, unitsOf, valueIn } from '@ferrule/engine';

type Reading = Extract<Entry, { entry: 'reading' }>;

/** The largest plausible value has a digit before or right behind the point, and no more than five before it. */
const LEAST = 0.1;
const MOST = 100_000;

/**
 * The units in which a reading can be chosen to be entered: the one that the procedure reads in, its counterpart of the other system,
 * and of the others of its kind those in which a plausible value is neither a speck nor endless. Any other still counts if it is
 * typed behind the value.
 */
export function unitsToChoose({ unit, kind, plausible }: Reading): readonly string[] {
  const largest = plausible.reduce((a, b) => (a.value.abs().compare(b.value.abs()) < 0 ? b : a));
  const others = unitsOf(kind).filter((one) => isHandy(largest, one));
  return [...new Set([unit, inOtherSystem(largest)?.unit ?? unit, ...others].map(({ symbol }) => symbol))];
}

function isHandy(largest: Quantity, unit: Quantity['unit']): boolean {
  const size = Math.abs(valueIn(largest, unit).toNumber());
  return size === 0 || (size >= LEAST && size < MOST);
}
