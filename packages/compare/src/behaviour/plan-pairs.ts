import { type Pack, Rational, Report, resolveVariant, writeAngle } from '@ferrule/engine';
import type { Comparison } from '../comparison.ts';
import type { ComparedPlanPair, ComparedTurning } from '../document/generated/comparison-document.ts';
import { isList, isMapping, type Mapping, mappingOf } from '../json.ts';
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

/** `rotation, sequence: was 1, 4, 2, 3, is 1, 4, 3, 2 now`: each key that is otherwise, however deep it stands. */
function differences(was: Mapping, is: Mapping, under: readonly string[] = []): readonly string[] {
  return [...new Set([...Object.keys(was), ...Object.keys(is)])]
    .filter((key) => !besides.includes(key) && !sameMeaning(was[key], is[key]))
    .flatMap((key) => {
      const [before, now] = [was[key], is[key]];
      const place = [...under, key];
      return isMapping(before) && isMapping(now)
        ? differences(before, now, place)
        : [`${place.join(', ')}: was ${inWords(before)}, is ${inWords(now)} now`];
    });
}

/** A value of a variant on one line; of a list of stops each with its keys. */
const inWords = (value: unknown): string =>
  isList(value) && value.some(isMapping)
    ? value
        .map((one) =>
          Object.entries(mappingOf(one))
            .map(([key, each]) => `${key} ${write(each) ?? ''}`)
            .join(' '),
        )
        .join('; ')
    : isList(value)
      ? value.map(String).join(', ')
      : (write(value) ?? 'not said');

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
