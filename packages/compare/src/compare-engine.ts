import { type Pack, Report, resolveVariant, writeAngle } from '@ferrule/engine';
import type { ChangeClass, Weight } from './change.ts';
import { listOf, mappingOf } from './json.ts';
import { sameMeaning } from './quantities.ts';
import { write } from './say.ts';

const engineKeys = ['cylinders', 'firing-order', 'cycle', 'off-base', 'marks', 'rotation'] as const;

/** What the engine of a variant has otherwise, and whether that changes how the crankshaft is turned. */
export function compareEngine(
  was: Pack,
  is: Pack,
  at: { readonly before: string; readonly after: string },
): readonly {
  readonly key: string;
  readonly change: ChangeClass;
  readonly weight: Weight;
  readonly before?: string;
  readonly after?: string;
}[] {
  const nameOf = (pointer: string): string =>
    (pointer.split('/').at(-1) ?? '').replaceAll('~1', '/').replaceAll('~0', '~');
  const before = { name: nameOf(at.before), variant: mappingOf(was.variants[nameOf(at.before)]) };
  const after = { name: nameOf(at.after), variant: mappingOf(is.variants[nameOf(at.after)]) };
  const changed = engineKeys.filter((key) => !sameMeaning(before.variant[key], after.variant[key]));
  if (changed.length === 0) return [];
  const plans = { before: planOf(was, before.name), after: planOf(is, after.name) };
  return [
    ...(plans.before === plans.after
      ? []
      : [
          {
            key: 'rotation',
            change: 'plan-changed',
            weight: 'safety',
            before: plans.before,
            after: plans.after,
          } as const,
        ]),
    ...changed
      .filter((key) => key !== 'rotation' || plans.before === plans.after)
      .map((key) => ({
        key,
        change: 'plan-changed' as const,
        weight: 'safety' as const,
        before: written(key, before.variant[key]),
        after: written(key, after.variant[key]),
      })),
  ];
}

/** The rotation plan as a line: `180° turn to 0° (bores 4, 1), 180° to 180° (bores 3, 2)`; why there is none otherwise. */
export function planOf(pack: Pack, variant: string): string {
  const report = new Report();
  const { rotation } = resolveVariant(pack, variant, report).crank;
  return rotation === undefined
    ? 'no plan'
    : rotation.stops
        .map(
          ({ rotation: by, position, bores }) =>
            `${writeAngle(by)} to ${writeAngle(position)} (${bores.length === 1 ? 'bore' : 'bores'} ${bores.join(', ')})`,
        )
        .join(', ');
}

function written(key: string, value: unknown): string {
  return key === 'firing-order' ? listOf(value).map(String).join('-') : (write(value) ?? 'not said');
}
