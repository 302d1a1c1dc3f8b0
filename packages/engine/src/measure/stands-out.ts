import { Rational } from '../quantity/index.ts';
import { outlierOf } from './outlier.ts';

/** The one of several values that stands out from the others. */
export interface StandsOut {
  readonly name: string;
  readonly value: Rational;
  /** The median of the others. */
  readonly others: Rational;
  /** How far it lies from that median, without its sign. */
  readonly distance: Rational;
  readonly side: 'high' | 'low';
  /** Whether Grubbs' test at 5 % finds it to be an outlier; a note, never a reason to leave it out. */
  readonly isOutlier: boolean;
}

/**
 * Of three or more values (one for each cylinder, say) the one that lies farthest from the median of the others.
 * Undefined for fewer, and when two lie equally far, since then none of them stands out. Exact.
 */
export function standsOut(
  values: readonly { readonly name: string; readonly value: Rational }[],
): StandsOut | undefined {
  if (values.length < 3) return undefined;
  const inOrder = values.map((one) => one.value).sort((a, b) => a.compare(b));
  const distances = values.map(({ value }) => {
    const others = medianWithout(inOrder, value);
    const off = value.minus(others);
    return { others, distance: off.abs(), side: off.sign > 0 ? ('high' as const) : ('low' as const) };
  });
  const farthest = distances.reduce((a, b) => (b.distance.compare(a.distance) > 0 ? b : a));
  const places = distances.flatMap((one, i) => (one.distance.equals(farthest.distance) ? [i] : []));
  const [place] = places;
  const found = place === undefined ? undefined : values[place];
  if (places.length !== 1 || found === undefined) return undefined;
  return {
    name: found.name,
    value: found.value,
    ...farthest,
    isOutlier: outlierOf(values.map((one) => one.value)) === place,
  };
}

/** The median of sorted values of which one that equals `value` is left out. */
function medianWithout(inOrder: readonly Rational[], value: Rational): Rational {
  const out = inOrder.findIndex((one) => one.equals(value));
  const at = (place: number): Rational => inOrder[place < out ? place : place + 1] ?? Rational.zero;
  const n = inOrder.length - 1;
  const middle = Math.floor(n / 2);
  return n % 2 === 1
    ? at(middle)
    : at(middle - 1)
        .plus(at(middle))
        .over(Rational.of(2));
}
