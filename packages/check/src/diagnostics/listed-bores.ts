import { type Pack, pointerTo } from '@ferrule/engine';
import { mapsIn } from '../maps-in.ts';
import { variantsAt } from '../variants-at.ts';
import { writtenNodes } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const listedBores: DiagnosticKind = {
  code: 'listed-bores',
  severity: 'warning',
  says: 'Bores are listed one by one, and a variant has more of them.',
  marks: 'value',
  examine: loopsOverSome,
};

function* loopsOverSome(subject: Subject): Generator<Finding> {
  yield* valuesOfSome(subject);
  const { pack, plans } = subject;
  const at = variantsAt(plans);
  const loops = [...writtenNodes(pack)].flatMap(({ node, pointer, procedure }) =>
    'each' in node && typeof node.of !== 'string' && node.each === 'bore'
      ? [{ pointer, procedure, items: node.of as readonly string[] }]
      : [],
  );
  for (const { pointer, procedure, items } of loops) {
    // Several lists in one procedure may share the bores out among them: cylinder pairs, for example.
    const shared = loops.filter((one) => one.procedure === procedure && !isFromOne(one.items));
    const more = withMore(items, at.get(pointer) ?? [], pack);
    if (more === undefined || shared.length > 0) continue;
    yield {
      pointer: pointerTo(pointer, 'of'),
      ...short(items, more),
      remedy: 'Write bores instead of the list.',
    };
  }
}

/** A calculation over the values of bores that are named one by one: `[gap@1, gap@2, gap@3]` of a four-cylinder. */
function* valuesOfSome({ pack, plans }: Subject): Generator<Finding> {
  const variants = new Set(plans.map((plan) => plan.variant.id));
  for (const [name, { derived = {} }] of Object.entries(pack.procedures)) {
    for (const [map, pointer] of mapsIn(derived, pointerTo('/procedures', name, 'derived'))) {
      for (const [key, list] of Object.entries(map)) {
        if (!Array.isArray(list)) continue;
        const named = list.map((one) => /^([a-z][a-z0-9.-]*)@(\d+)$/.exec(String(one)));
        const [entry] = new Set(named.map((one) => one?.[1]));
        if (entry === undefined || named.some((one) => one?.[1] !== entry)) continue;
        const items = named.map((one) => one?.[2] ?? '');
        const more = withMore(items, variants, pack);
        if (more === undefined) continue;
        yield {
          pointer: pointerTo(pointer, key),
          ...short(items, more),
          remedy: `Write {every-bore: ${entry}} instead of the list.`,
        };
      }
    }
  }
}

interface More {
  readonly id: string;
  readonly title: string;
  readonly cylinders: number;
}

/** A variant among some with more bores than are listed, if what is listed are the first ones without a gap. */
function withMore(items: readonly string[], variants: Iterable<string>, pack: Pack): More | undefined {
  if (items.length < 2 || !isFromOne(items)) return undefined;
  for (const id of variants) {
    const variant = pack.variants[id];
    const cylinders = Number(variant?.cylinders ?? 0);
    if (variant !== undefined && cylinders > items.length) return { id, title: variant.title, cylinders };
  }
  return undefined;
}

const isFromOne = (items: readonly string[]): boolean =>
  [...items]
    .map(Number)
    .sort((a, b) => a - b)
    .every((item, index) => item === index + 1);

const short = (items: readonly string[], { id, title, cylinders }: More) => ({
  message: `${items.join(', ')} are listed, and ${title} has ${cylinders} bores.`,
  other: [{ pointer: pointerTo('/variants', id, 'cylinders'), message: `${cylinders} here` }],
});
