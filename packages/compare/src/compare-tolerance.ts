import { pointerTo } from '@ferrule/engine';
import type { Change, Span } from './change.ts';
import {
  type LimitRelation,
  limitKey,
  limitRelation,
  limitsFor,
  spanFor,
  writeLimits,
  writtenLimits,
} from './compare-limits.ts';
import type { At, Comparison } from './comparison.ts';
import type { Mapping } from './json.ts';
import { sameMeaning } from './quantities.ts';
import { write } from './say.ts';

/** Limits and decision rule of a tolerance. Limits are compared as numbers, variant by variant. */
export function compareTolerance(c: Comparison, at: At, was: Mapping, is: Mapping): void {
  limits(c, at, was, is);
  rule(c, at, was, is);
}

function limits(c: Comparison, at: At, was: Mapping, is: Mapping): void {
  const before = writtenLimits(was);
  const after = writtenLimits(is);
  const engines = Object.entries(c.old.variants).flatMap(([name, old]) => {
    const now = c.renames.now(name, 'variants', '');
    const engine = c.new.variants[now];
    return engine === undefined ? [] : [{ name: now, old, engine }];
  });
  const groups = new Map<
    LimitRelation,
    { readonly name: string; readonly from: Said; readonly to: Said; readonly drawn: Drawn }[]
  >();
  let isNumeric = engines.length > 0;
  for (const { name, old, engine } of engines) {
    const from = limitsFor(before, old);
    const to = limitsFor(after, engine);
    if (from === undefined || to === undefined) {
      isNumeric = false;
      continue;
    }
    const says = {
      ...{ name, from: writeLimits(before, old), to: writeLimits(after, engine) },
      drawn: { before: spanFor(before, old, from), after: spanFor(after, engine, to) },
    };
    const relation = limitRelation(from, to);
    if (relation !== 'same' || says.from.says !== says.to.says)
      groups.set(relation, [...(groups.get(relation) ?? []), says]);
  }
  for (const [relation, some] of groups) {
    const change = relation === 'same' ? 'restated' : relation;
    c.add(at, change, relation === 'same' ? 'wording' : 'conformity', {
      key: limitKey(after, before),
      before: {
        pointer: pointerTo(at.before, limitKey(before, after)),
        ...together(some.map(({ name, from }) => [name, from])),
      },
      after: {
        pointer: pointerTo(at.after, limitKey(after, before)),
        ...together(some.map(({ name, to }) => [name, to])),
      },
      ...(relation === 'tightened' ? { effect: 'stronger' as const } : {}),
      ...(relation === 'loosened' ? { effect: 'weaker' as const } : {}),
      ...(some.length === engines.length ? {} : { variants: some.map(({ name }) => name) }),
      limits: drawnTogether(some),
      ...(some.every(({ from, to }) => from.says === some[0]?.from.says && to.says === some[0]?.to.says)
        ? {}
        : { each: some.map(({ name, from, to }) => ({ variant: name, was: from.says, is: to.says })) }),
    });
  }
  if (isNumeric || sameMeaning(c.inNewNames(before, at.scope), after)) return;
  c.differ(at, limitKey(after, before), 'rule-changed', 'conformity', write(before), write(after));
}

type Said = ReturnType<typeof writeLimits>;

interface Drawn {
  readonly before: Span;
  readonly after: Span;
}

/** One pair of ranges for all variants that have the same. */
function drawnTogether(
  some: readonly { readonly name: string; readonly drawn: Drawn }[],
): NonNullable<Change['limits']> {
  const pairs = new Map<string, { readonly variants: string[]; readonly drawn: Drawn }>();
  for (const { name, drawn } of some) {
    const key = JSON.stringify(drawn);
    const pair = pairs.get(key) ?? { variants: [], drawn };
    pair.variants.push(name);
    pairs.set(key, pair);
  }
  return [...pairs.values()].map(({ variants, drawn }) => ({ variants, ...drawn }));
}

/** What is said for several variants: once where it is the same for all of them. */
function together(said: readonly (readonly [name: string, Said])[]): Said {
  const [first] = said;
  if (first === undefined) return { says: '' };
  if (said.every(([, one]) => one.says === first[1].says)) return first[1];
  const join = (of: (one: Said) => string | undefined) =>
    said.map(([name, one]) => `${name}: ${of(one) ?? ''}`).join('; ');
  const says = join((one) => one.says);
  return said.every(([, one]) => one.other !== undefined)
    ? { says, other: join((one) => one.other) }
    : { says };
}

function rule(c: Comparison, at: At, was: Mapping, is: Mapping): void {
  const before = ruleOf(was);
  const after = ruleOf(is);
  if (before.says === after.says) return;
  const order =
    before.strictness === undefined || after.strictness === undefined
      ? 0
      : Math.sign(after.strictness - before.strictness);
  const effect = order === 0 ? undefined : order > 0 ? 'stronger' : 'weaker';
  c.differ(at, 'rule', 'rule-changed', 'conformity', before.says, after.says, effect);
}

/**
 * The decision rule of a tolerance in words, and how much less it accepts than the plain limits, in multiples of U: a guard
 * band on the inside accepts less, one on the outside more (JCGM 106, 8.3.2). Undefined where that depends on the reading.
 */
function ruleOf(tolerance: Mapping): { readonly says: string; readonly strictness?: number } {
  const rule = String(tolerance['rule'] ?? 'simple');
  const band = String(tolerance['guard-band'] ?? '1 × U');
  const width = Number.parseFloat(band);
  switch (rule) {
    case 'simple':
      return { says: rule, strictness: 0 };
    case 'guarded-acceptance':
      return { says: `${rule} ${band}`, strictness: width };
    case 'guarded-rejection':
      return { says: `${rule} ${band}`, strictness: -width };
    case 'probability':
      return { says: `${rule} ${String(tolerance['at-least-probability'] ?? '95 %')}` };
    default:
      return { says: `${rule} ${band}` };
  }
}
