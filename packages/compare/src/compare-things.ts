import { type Pack, pointerTo } from '@ferrule/engine';
import type { Stated } from './change.ts';
import { compareAnswers } from './compare-answers.ts';
import { planOf } from './compare-engine.ts';
import { compareReleases } from './compare-hold.ts';
import { compareNodes } from './compare-nodes.ts';
import { compareTolerance } from './compare-tolerance.ts';
import { compareVariant } from './compare-variant.ts';
import type { At, Comparison } from './comparison.ts';
import { describeVariant } from './describe-variant.ts';
import { has, mappingOf } from './json.ts';
import type { Form } from './keys.ts';
import { describe, stated } from './say.ts';
import { lossOf, weightOf } from './weigh.ts';

/** Things that are known by their names: which are new, gone or renamed, and what the others have otherwise. */
export function compareThings(
  c: Comparison,
  at: At,
  key: string,
  form: Extract<Form, { form: 'things' }>,
  was: unknown,
  is: unknown,
): void {
  const before = mappingOf(was);
  const after = mappingOf(is);
  const renamed = c.renames.of(form.of, at.scope);
  const named = (name: string): string => (at.name === '' ? name : `${at.name}/${name}`);
  const isProcedure = form.of === 'procedures';
  for (const [name, value] of Object.entries(before)) {
    const now = renamed.get(name) ?? name;
    const one: At = {
      kind: form.kind,
      name: named(now),
      scope: isProcedure ? now : at.scope,
      before: pointerTo(at.before, key, name),
      after: pointerTo(at.after, key, now),
    };
    if (!has(after, now)) {
      c.add(one, form.of === 'variants' ? 'variant-removed' : 'removed', weightOf(form.of, name, c.was), {
        before: describeThing(form, c.old, one.before, name, value),
        ...lossOf(form.of),
      });
      continue;
    }
    if (now !== name)
      c.add(one, 'renamed', 'wording', {
        before: stated(one.before, name),
        after: stated(one.after, now),
      });
    const from = mappingOf(value);
    const to = mappingOf(after[now]);
    c.keys(one, form.keys, from, to);
    if (form.of === 'tolerances') compareTolerance(c, one, from, to);
    if (form.of === 'holds') compareReleases(c, one, from, to);
    if (form.of === 'observations') compareAnswers(c, one, from, to);
    if (form.of === 'variants') compareVariant(c, one, from, to);
    const steps = isProcedure ? c.steps.get(now) : undefined;
    if (steps !== undefined) compareNodes(c, one, steps);
  }
  const kept = new Set(Object.keys(before).map((name) => renamed.get(name) ?? name));
  for (const [name, value] of Object.entries(after)) {
    if (kept.has(name)) continue;
    const one: At = {
      kind: form.kind,
      name: named(name),
      scope: at.scope,
      before: '',
      after: pointerTo(at.after, key, name),
    };
    c.add(one, form.of === 'variants' ? 'variant-added' : 'added', weightOf(form.of, name, c.is), {
      after: describeThing(form, c.new, one.after, name, value),
    });
  }
}

function describeThing(
  { of }: Extract<Form, { form: 'things' }>,
  pack: Pack,
  pointer: string,
  name: string,
  value: unknown,
): Stated {
  return of === 'variants'
    ? { pointer, ...describeVariant(mappingOf(value), planOf(pack, name)) }
    : stated(pointer, describe(name, value));
}
