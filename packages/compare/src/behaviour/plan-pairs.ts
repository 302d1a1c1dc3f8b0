import { type Pack, Rational, Report, resolveVariant, writeAngle } from '@ferrule/engine';
import type { Comparison } from '../comparison.ts';
import type { ComparedPlanPair, ComparedTurning } from '../document/generated/comparison-document.ts';
import { type Mapping, mappingOf } from '../json.ts';
import { sameMeaning } from '../quantities.ts';
import { write } from '../say.ts';

/** The rotation plans before and after, for the variants where they are not the same, with what of the crankshaft is otherwise. */
export function planPairs(c: Comparison): readonly ComparedPlanPair[] {
  return Object.entries(c.old.variants).flatMap(([old, was]) => {
    const variant = c.renames.now(old, 'variants', '');
    const is = c.new.variants[variant];
    if (is === undefined) return [];
    const before = turningOf(c.old, old, was);
    const after = turningOf(c.new, variant, is);
    if (JSON.stringify(before) === JSON.stringify(after)) return [];
    return [
      {
        variant,
        ...(before === undefined ? {} : { before }),
        ...(after === undefined ? {} : { after }),
        because: differences(mappingOf(was), mappingOf(is)),
      },
    ];
  });
}

/** What of a variant no rotation plan is worked out from. */
const besides: readonly string[] = ['title', 'note', 'facts', 'source'];

/** `Off base: before 60 °; after 130 ° before, …`. */
function differences(was: Mapping, is: Mapping): readonly string[] {
  const says = (value: unknown): string => write(value) ?? 'not said';
  return [...new Set([...Object.keys(was), ...Object.keys(is)])]
    .filter((key) => !besides.includes(key) && !sameMeaning(was[key], is[key]))
    .map((key) => `${key}: ${says(was[key])} before, ${says(is[key])} now`);
}

function turningOf(
  pack: Pack,
  id: string,
  { 'running-direction': direction }: Pack['variants'][string],
): ComparedTurning | undefined {
  const { crank } = resolveVariant(pack, id, new Report());
  const { rotation, positions } = crank;
  if (rotation === undefined) return undefined;
  const at = (position: Rational) => positions.find((one) => one.at.equals(position));
  return {
    ...(direction === undefined ? {} : { direction }),
    from: at(rotation.start)?.title ?? writeAngle(rotation.start),
    stops: rotation.stops.map((stop) => {
      const heldBy = at(stop.position)?.heldBy;
      const least = stop.margins.reduce<Rational | undefined>(
        (found, { margin }) => (found === undefined || margin.compare(found) < 0 ? margin : found),
        undefined,
      );
      return {
        turn: writeAngle(stop.rotation),
        at: writeAngle(stop.position),
        bores: [...stop.bores],
        margin: writeAngle(least ?? Rational.zero),
        ...(heldBy === undefined ? {} : { heldBy }),
      };
    }),
    total: writeAngle(rotation.total),
    leastMargin: writeAngle(rotation.leastMargin),
  };
}
