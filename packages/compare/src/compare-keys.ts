import { pointerTo } from '@ferrule/engine';
import { canonical } from '@ferrule/signing';
import type { Change, ChangeClass, Weight } from './change.ts';
import { limitRelation, limitsFor } from './compare-limits.ts';
import { stateRelation, writeStates } from './compare-states.ts';
import type { At, Comparison } from './comparison.ts';
import { has, isList, isMapping, isText, type Mapping, mappingOf, textsOf } from './json.ts';
import type { Form, Keys, Sense } from './keys.ts';
import { normal, quantityIn, sameMeaning } from './quantities.ts';
import { write } from './say.ts';

/** The form of a key whose content is compared by files of their own: things with names, and remedies. */
export type OwnForm = Extract<Form, { form: 'things' | 'remedy' }>;
export type CompareOwn = (
  c: Comparison,
  at: At,
  key: string,
  form: OwnForm,
  was: unknown,
  is: unknown,
) => void;

/** Compares what stands under each key of a table, and the keys that only carry something (`x-…`). */
export function compareKeys(
  c: Comparison,
  at: At,
  keys: Keys,
  was: Mapping,
  is: Mapping,
  own: CompareOwn,
): void {
  for (const [key, form] of Object.entries(keys))
    if (has(was, key) || has(is, key)) compareForm(c, at, key, form, was[key], is[key], own);
  for (const key of new Set([...Object.keys(was), ...Object.keys(is)]))
    if (key.startsWith('x-') && !sameMeaning(was[key], is[key]))
      c.differ(at, key, 'changed', 'wording', write(was[key]), write(is[key]));
}

function compareForm(
  c: Comparison,
  at: At,
  key: string,
  form: Form,
  was: unknown,
  is: unknown,
  own: CompareOwn,
): void {
  switch (form.form) {
    case 'elsewhere':
    case 'together':
    case 'nodes':
      return;
    case 'words':
      return compareWords(c, at, key, was, is, form.weight ?? 'wording');
    case 'source':
      if (was !== is) c.differ(at, key, 'source-changed', 'wording', write(was), write(is));
      return;
    case 'value':
      return compareValue(c, at, key, was, is, form);
    case 'values':
      return values(c, at, key, was, is, form);
    case 'span':
      return span(c, at, key, was, is, form);
    case 'name':
      return name(c, at, key, was, is, form);
    case 'names':
      return names(c, at, key, was, is, form);
    case 'yes': {
      if ((was === undefined) === (is === undefined)) return;
      const protects = (is !== undefined) === (form.sense === 'protects');
      const effect = protects ? 'stronger' : 'weaker';
      const change = form.change ?? (protects ? 'strengthened' : 'weakened');
      return c.differ(
        at,
        key,
        change,
        form.weight,
        was === undefined ? 'no' : 'yes',
        is === undefined ? 'no' : 'yes',
        effect,
      );
    }
    case 'ranked': {
      if (was === is) return;
      const effect = form.ranks.indexOf(String(is)) > form.ranks.indexOf(String(was)) ? 'stronger' : 'weaker';
      return c.differ(at, key, form.change, 'safety', write(was), write(is), effect);
    }
    case 'states':
      return states(c, at, key, was, is, form.narrower);
    case 'expression':
    case 'condition':
      return expression(c, at, key, was, is, form.form === 'condition' ? 'work' : 'conformity');
    case 'keys':
      return inner(c, at, key, form.keys, was, is);
    case 'things':
    case 'remedy':
      return own(c, at, key, form, was, is);
  }
}
/** Other words; where a number in them is another, they say something else. */
export function compareWords(
  c: Comparison,
  at: At,
  key: string,
  was: unknown,
  is: unknown,
  weight: Weight,
): void {
  if (was === is || (isText(was) && isText(is) && squeezed(was) === squeezed(is))) return;
  const hasOtherNumbers = isText(was) && isText(is) && numbersIn(was) !== numbersIn(is);
  c.differ(
    at,
    key,
    hasOtherNumbers ? 'changed' : 'reworded',
    hasOtherNumbers && weight === 'wording' ? 'work' : weight,
    write(was),
    write(is),
  );
}

/** A quantity, a number or a word. */
export function compareValue(
  c: Comparison,
  at: At,
  key: string,
  was: unknown,
  is: unknown,
  form: Extract<Form, { form: 'value' }>,
): void {
  const before = c.inNewNames(was, at.scope);
  if (sameMeaning(before, is)) {
    if (sameMeaning(was, is) && was !== is && isText(was) && isText(is) && squeezed(was) !== squeezed(is))
      c.differ(at, key, 'restated', 'wording', write(was), write(is));
    return;
  }
  const { weight, change = 'changed', bigger } = form;
  c.differ(at, key, change, weight, write(was), write(is), effectOf(was, is, bigger));
}

function values(
  c: Comparison,
  at: At,
  key: string,
  was: unknown,
  is: unknown,
  form: Extract<Form, { form: 'values' }>,
): void {
  if (sameMeaning(was, is)) {
    if (asWritten(was) !== asWritten(is)) c.differ(at, key, 'restated', 'wording', write(was), write(is));
    return;
  }
  c.differ(at, key, form.change ?? 'changed', form.weight, write(was), write(is));
}

function span(
  c: Comparison,
  at: At,
  key: string,
  was: unknown,
  is: unknown,
  form: Extract<Form, { form: 'span' }>,
): void {
  if (sameMeaning(was, is)) {
    if (asWritten(was) !== asWritten(is)) c.differ(at, key, 'restated', 'wording', write(was), write(is));
    return;
  }
  const limits = (value: unknown) => limitsFor({ between: value }, {});
  const before = limits(was);
  const after = limits(is);
  const relation = before === undefined || after === undefined ? 'shifted' : limitRelation(before, after);
  const effect =
    form.wider === undefined || (relation !== 'tightened' && relation !== 'loosened')
      ? undefined
      : (relation === 'loosened') === (form.wider === 'allows')
        ? 'weaker'
        : 'stronger';
  const change = form.change ?? (relation === 'same' ? 'restated' : relation);
  c.differ(at, key, change, form.weight, write(was), write(is), effect);
}

function name(
  c: Comparison,
  at: At,
  key: string,
  was: unknown,
  is: unknown,
  form: Extract<Form, { form: 'name' }>,
): void {
  const before = isText(was) ? c.renames.now(was, form.of, at.scope) : was;
  if (sameMeaning(c.inNewNames(before, at.scope), is)) return;
  if (was === undefined || is === undefined) {
    const protects = (is !== undefined) === (form.there === 'protects');
    const effect = form.there === undefined ? undefined : protects ? 'stronger' : 'weaker';
    const change =
      effect === undefined
        ? (form.change ?? (is === undefined ? 'removed' : 'added'))
        : protects
          ? 'strengthened'
          : 'weakened';
    return c.differ(at, key, change, form.weight, write(was), write(is), effect);
  }
  c.differ(at, key, form.change ?? 'changed', form.weight, write(was), write(is));
}

function names(
  c: Comparison,
  at: At,
  key: string,
  was: unknown,
  is: unknown,
  form: Extract<Form, { form: 'names' }>,
): void {
  const before = new Map(textsOf(was).map((name) => [c.renames.now(name, form.of, at.scope), name]));
  const after = new Set(textsOf(is));
  const all = { before: textsOf(was).join(', '), after: textsOf(is).join(', ') };
  const says = (change: ChangeClass, isMore: boolean, which?: readonly string[]): void => {
    const effect =
      form.more === undefined ? undefined : isMore === (form.more === 'protects') ? 'stronger' : 'weaker';
    c.differ(
      at,
      key,
      change,
      form.weight,
      was === undefined ? undefined : all.before,
      is === undefined ? undefined : all.after,
      effect,
      which,
    );
  };
  // A variant that is new in the pack is said there, and not at each place that names it.
  const isSaid = (name: string, document: Mapping): boolean =>
    form.of === 'variants' && !has(mappingOf(document['variants']), name);
  if (is === undefined && was !== undefined && form.of === 'variants') return says(form.added, true);
  if (was === undefined && is !== undefined && form.of === 'variants') return says(form.removed, false);
  const came = [...after].filter((one) => !before.has(one) && !isSaid(one, c.was));
  const went = [...before].filter(([now]) => !after.has(now) && !isSaid(now, c.is)).map(([, one]) => one);
  if (came.length > 0) says(form.added, true, came);
  if (went.length > 0) says(form.removed, false, went);
}

function states(c: Comparison, at: At, key: string, was: unknown, is: unknown, narrower: Sense): void {
  const before = c.inNewStates(was);
  const relation = stateRelation(before, is);
  if (relation === 'same') return;
  const effect =
    relation === 'other'
      ? undefined
      : (relation === 'narrower') === (narrower === 'protects')
        ? 'stronger'
        : 'weaker';
  const change = effect === undefined ? 'rule-changed' : effect === 'stronger' ? 'strengthened' : 'weakened';
  c.differ(
    at,
    key,
    change,
    'safety',
    was === undefined ? undefined : writeStates(was),
    is === undefined ? undefined : writeStates(is),
    effect,
  );
}

function expression(c: Comparison, at: At, key: string, was: unknown, is: unknown, weight: Weight): void {
  const before = c.inNewNames(was, at.scope);
  if (sameMeaning(before, is)) {
    if (asWritten(before) !== asWritten(is)) c.differ(at, key, 'restated', 'wording', write(was), write(is));
    return;
  }
  const known = (value: unknown, document: Mapping): string =>
    normal(withoutVariants(value, (name) => has(mappingOf(document['variants']), name)));
  if (known(before, c.is) === known(is, c.was)) return;
  c.differ(at, key, 'rule-changed', weight, write(was), write(is));
}

function inner(c: Comparison, at: At, key: string, keys: Keys, was: unknown, is: unknown): void {
  if (isMapping(was) && isMapping(is)) {
    const inner = { ...at, before: pointerTo(at.before, key), after: pointerTo(at.after, key) };
    return c.keys(inner, keys, was, is);
  }
  if (sameMeaning(was, is)) return;
  const forms = Object.values(keys);
  const there = forms.find((form) => form.form === 'name' && form.there !== undefined);
  const allows = there?.form === 'name' && there.there === 'allows';
  const isHeavy = forms.some(
    (form) => form.form === 'states' || ('weight' in form && form.weight === 'safety'),
  );
  const weight = isHeavy
    ? 'safety'
    : forms.some((form) => 'weight' in form && form.weight === 'conformity')
      ? 'conformity'
      : 'work';
  const effect = allows ? (is === undefined ? 'stronger' : 'weaker') : undefined;
  const named = forms.find((form) => 'change' in form && form.change !== undefined);
  const change =
    effect !== undefined
      ? effect === 'weaker'
        ? 'weakened'
        : 'strengthened'
      : named !== undefined && 'change' in named && named.change === 'instrument-changed'
        ? 'instrument-changed'
        : was === undefined
          ? 'added'
          : is === undefined
            ? 'removed'
            : 'changed';
  c.differ(at, key, change, weight, write(was), write(is), effect);
}

/** A value as it is written, but for the order of keys. */
const asWritten = (value: unknown): string => canonical(value ?? null);

const squeezed = (text: string): string => text.replace(/\s+/g, ' ').trim();
const numbersIn = (text: string): string =>
  (text.replace(/\{[^}]*\}/g, '').match(/\d+(?:[.,]\d+)?/g) ?? []).sort().join(' ');

/** Whether a larger value does good or harm, where both are quantities or numbers of one kind. */
function effectOf(was: unknown, is: unknown, bigger: Sense | undefined): Change['effect'] {
  const before = quantityIn(was);
  const after = quantityIn(is);
  if (bigger === undefined || before === undefined || after === undefined || before.kind !== after.kind)
    return undefined;
  const order = before.value.compare(after.value);
  if (order === 0) return undefined;
  return order < 0 === (bigger === 'protects') ? 'stronger' : 'weaker';
}

/** A condition without the variants that only one revision has. */
function withoutVariants(value: unknown, isKept: (name: string) => boolean): unknown {
  if (!isMapping(value) || !isList(value['variant'])) return value;
  return { ...value, variant: textsOf(value['variant']).filter(isKept).sort() };
}
