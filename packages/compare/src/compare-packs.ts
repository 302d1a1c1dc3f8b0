import { type Pack, pointerTo } from '@ferrule/engine';
import { type Change, type ChangeClass, compareChanges, type Stated, type Weight } from './change.ts';
import { compareEngine } from './compare-engine.ts';
import {
  factsIn,
  type LimitRelation,
  limitKey,
  limitRelation,
  limitsFor,
  writeLimits,
  writtenLimits,
} from './compare-limits.ts';
import { stateRelation, writeStates } from './compare-states.ts';
import { has, isList, isMapping, listOf, type Mapping, mappingOf, textsOf } from './json.ts';
import {
  type Form,
  interlockKeys,
  type Keys,
  type NameKind,
  nodeKeys,
  packKeys,
  procedureKeys,
  releaseKeys,
  reworkKeys,
  type Sense,
} from './keys.ts';
import { matchNodes, type NodeMatch, type Placed, placeNodes } from './match-nodes.ts';
import { inOther, normal, quantityIn } from './quantities.ts';
import { Renames, renamesOf, withNewNames } from './renames.ts';

/** Something that both revisions have, and where. */
interface At {
  readonly kind: string;
  readonly name: string;
  /** The procedure that it belongs to, by its new name; empty outside of procedures. */
  readonly scope: string;
  readonly before: string;
  readonly after: string;
}

/**
 * What one revision of a pack has otherwise than the other, the heaviest first: by what it means and not by how it is
 * written. Takes two documents that were read without faults, with libraries and overlay in them. Things are known by their
 * names; what was renamed is recognised by what it says, and then counts once and not at each place that names it.
 */
export function comparePacks(before: Pack, after: Pack): readonly Change[] {
  return new Comparison(before, after).changes();
}

class Comparison {
  readonly #old: Pack;
  readonly #new: Pack;
  readonly #was: Mapping;
  readonly #is: Mapping;
  readonly #renames = new Renames();
  readonly #steps = new Map<string, NodeMatch>();
  readonly #found: Change[] = [];

  constructor(was: Pack, is: Pack) {
    this.#old = was;
    this.#new = is;
    this.#was = mappingOf(was);
    this.#is = mappingOf(is);
  }

  changes(): readonly Change[] {
    this.#findRenames();
    const at: At = { kind: 'pack', name: '', scope: '', before: '', after: '' };
    this.#keys(at, packKeys, this.#was, this.#is);
    this.#laws();
    this.#libraries();
    this.#trials();
    return this.#found.sort(compareChanges);
  }

  #findRenames(): void {
    for (const [key, form] of Object.entries(packKeys))
      if (form.form === 'things') this.#renames.set(form.of, '', renamesOf(this.#was[key], this.#is[key]));
    const procedures = mappingOf(this.#is['procedures']);
    // A hold that several procedures use names steps of any of them.
    const anySteps = new Map<string, string>();
    for (const [name, was] of Object.entries(mappingOf(this.#was['procedures']))) {
      const now = this.#renames.now(name, 'procedures', '');
      const is = procedures[now];
      if (!isMapping(was) || !isMapping(is)) continue;
      for (const [key, form] of Object.entries(procedureKeys))
        if (form.form === 'things') this.#renames.set(form.of, now, renamesOf(was[key], is[key]));
      const match = matchNodes(
        placeNodes(was['steps'], pointerTo('/procedures', name, 'steps')),
        placeNodes(is['steps'], pointerTo('/procedures', now, 'steps')),
      );
      this.#steps.set(now, match);
      const steps = match.pairs.filter(({ before, after }) => before.id !== after.id);
      for (const { before, after } of steps) anySteps.set(before.id, after.id);
      this.#renames.set('steps', now, new Map(steps.map(({ before, after }) => [before.id, after.id])));
    }
    this.#renames.set('steps', '', anySteps);
  }

  #add(
    at: At,
    change: ChangeClass,
    weight: Weight,
    more: {
      readonly key?: string;
      readonly before?: Stated;
      readonly after?: Stated;
      readonly effect?: 'weaker' | 'stronger';
      readonly variants?: readonly string[];
    } = {},
  ): void {
    this.#found.push({ change, weight, kind: at.kind, name: at.name, ...more });
  }

  /** Adds a change of what stands under a key, or of one item there. */
  #differ(
    at: At,
    key: string,
    change: ChangeClass,
    weight: Weight,
    before: string | undefined,
    after: string | undefined,
    effect?: Change['effect'],
  ): void {
    this.#add(at, change, weight, {
      key,
      ...(before === undefined ? {} : { before: stated(pointerTo(at.before, key), before) }),
      ...(after === undefined ? {} : { after: stated(pointerTo(at.after, key), after) }),
      ...(effect === undefined ? {} : { effect }),
    });
  }

  #keys(at: At, keys: Keys, was: Mapping, is: Mapping): void {
    for (const [key, form] of Object.entries(keys))
      if (has(was, key) || has(is, key)) this.#form(at, key, form, was[key], is[key]);
    for (const key of new Set([...Object.keys(was), ...Object.keys(is)]))
      if (key.startsWith('x-') && normal(was[key]) !== normal(is[key]))
        this.#differ(at, key, 'changed', 'wording', write(was[key]), write(is[key]));
  }

  #form(at: At, key: string, form: Form, was: unknown, is: unknown): void {
    switch (form.form) {
      case 'elsewhere':
      case 'together':
      case 'nodes':
        return;
      case 'words':
        return this.#words(at, key, was, is, form.weight ?? 'wording');
      case 'source':
        if (was !== is) this.#differ(at, key, 'source-changed', 'wording', write(was), write(is));
        return;
      case 'value':
        return this.#value(at, key, was, is, form);
      case 'values':
        return this.#values(at, key, was, is, form);
      case 'span':
        return this.#span(at, key, was, is, form);
      case 'name':
        return this.#name(at, key, was, is, form);
      case 'names':
        return this.#names(at, key, was, is, form);
      case 'yes': {
        if ((was === undefined) === (is === undefined)) return;
        const protects = (is !== undefined) === (form.sense === 'protects');
        const effect = protects ? 'stronger' : 'weaker';
        const change = form.change ?? (protects ? 'strengthened' : 'weakened');
        return this.#differ(
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
        const effect =
          form.ranks.indexOf(String(is)) > form.ranks.indexOf(String(was)) ? 'stronger' : 'weaker';
        return this.#differ(at, key, form.change, 'safety', write(was), write(is), effect);
      }
      case 'states':
        return this.#states(at, key, was, is, form.narrower);
      case 'expression':
      case 'condition':
        return this.#expression(at, key, was, is, form.form === 'condition' ? 'work' : 'conformity');
      case 'keys':
        return this.#inner(at, key, form.keys, was, is);
      case 'things':
        return this.#things(at, key, form, was, is);
      case 'remedy':
        return this.#remedy(at, key, was, is);
    }
  }

  #words(at: At, key: string, was: unknown, is: unknown, weight: Weight): void {
    if (was === is || (isText(was) && isText(is) && squeezed(was) === squeezed(is))) return;
    const hasOtherNumbers = isText(was) && isText(is) && numbersIn(was) !== numbersIn(is);
    this.#differ(
      at,
      key,
      hasOtherNumbers ? 'changed' : 'reworded',
      hasOtherNumbers && weight === 'wording' ? 'work' : weight,
      write(was),
      write(is),
    );
  }

  #value(at: At, key: string, was: unknown, is: unknown, form: Extract<Form, { form: 'value' }>): void {
    const before = this.#renamed(was, at.scope);
    if (normal(before) === normal(is)) {
      if (
        normal(was) === normal(is) &&
        was !== is &&
        isText(was) &&
        isText(is) &&
        squeezed(was) !== squeezed(is)
      )
        this.#differ(at, key, 'restated', 'wording', write(was), write(is));
      return;
    }
    const { weight, change = 'changed', bigger } = form;
    this.#differ(at, key, change, weight, write(was), write(is), effectOf(was, is, bigger));
  }

  #values(at: At, key: string, was: unknown, is: unknown, form: Extract<Form, { form: 'values' }>): void {
    if (normal(was) === normal(is)) {
      if (JSON.stringify(was) !== JSON.stringify(is))
        this.#differ(at, key, 'restated', 'wording', write(was), write(is));
      return;
    }
    this.#differ(at, key, form.change ?? 'changed', form.weight, write(was), write(is));
  }

  #span(at: At, key: string, was: unknown, is: unknown, form: Extract<Form, { form: 'span' }>): void {
    if (normal(was) === normal(is)) {
      if (JSON.stringify(was) !== JSON.stringify(is))
        this.#differ(at, key, 'restated', 'wording', write(was), write(is));
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
    this.#differ(at, key, change, form.weight, write(was), write(is), effect);
  }

  #rule(at: At, was: Mapping, is: Mapping): void {
    const before = ruleOf(was);
    const after = ruleOf(is);
    if (before.says === after.says) return;
    const order =
      before.strictness === undefined || after.strictness === undefined
        ? 0
        : Math.sign(after.strictness - before.strictness);
    const effect = order === 0 ? undefined : order > 0 ? 'stronger' : 'weaker';
    this.#differ(at, 'rule', 'rule-changed', 'conformity', before.says, after.says, effect);
  }

  #name(at: At, key: string, was: unknown, is: unknown, form: Extract<Form, { form: 'name' }>): void {
    const before = isText(was) ? this.#renames.now(was, form.of, at.scope) : was;
    if (normal(this.#renamed(before, at.scope)) === normal(is)) return;
    if (was === undefined || is === undefined) {
      const protects = (is !== undefined) === (form.there === 'protects');
      const effect = form.there === undefined ? undefined : protects ? 'stronger' : 'weaker';
      const change =
        effect === undefined
          ? (form.change ?? (is === undefined ? 'removed' : 'added'))
          : protects
            ? 'strengthened'
            : 'weakened';
      return this.#differ(at, key, change, form.weight, write(was), write(is), effect);
    }
    this.#differ(at, key, form.change ?? 'changed', form.weight, write(was), write(is));
  }

  #names(at: At, key: string, was: unknown, is: unknown, form: Extract<Form, { form: 'names' }>): void {
    const before = new Map(textsOf(was).map((name) => [this.#renames.now(name, form.of, at.scope), name]));
    const after = new Set(textsOf(is));
    const all = { before: textsOf(was).join(', '), after: textsOf(is).join(', ') };
    const says = (change: ChangeClass, isMore: boolean): void => {
      const effect =
        form.more === undefined ? undefined : isMore === (form.more === 'protects') ? 'stronger' : 'weaker';
      this.#differ(
        at,
        key,
        change,
        form.weight,
        was === undefined ? undefined : all.before,
        is === undefined ? undefined : all.after,
        effect,
      );
    };
    // A variant that is new in the pack is said there, and not at each place that names it.
    const isSaid = (name: string, document: Mapping): boolean =>
      form.of === 'variants' && !has(mappingOf(document['variants']), name);
    if (is === undefined && was !== undefined && form.of === 'variants') return says(form.added, true);
    if (was === undefined && is !== undefined && form.of === 'variants') return says(form.removed, false);
    if ([...after].some((name) => !before.has(name) && !isSaid(name, this.#was))) says(form.added, true);
    if ([...before.keys()].some((name) => !after.has(name) && !isSaid(name, this.#is)))
      says(form.removed, false);
  }

  #states(at: At, key: string, was: unknown, is: unknown, narrower: Sense): void {
    const before = this.#renamedStates(was);
    const relation = stateRelation(before, is);
    if (relation === 'same') return;
    const effect =
      relation === 'other'
        ? undefined
        : (relation === 'narrower') === (narrower === 'protects')
          ? 'stronger'
          : 'weaker';
    const change =
      effect === undefined ? 'rule-changed' : effect === 'stronger' ? 'strengthened' : 'weakened';
    this.#differ(
      at,
      key,
      change,
      'safety',
      was === undefined ? undefined : writeStates(was),
      is === undefined ? undefined : writeStates(is),
      effect,
    );
  }

  #renamedStates(map: unknown): unknown {
    if (!isMapping(map)) return map;
    return Object.fromEntries(
      Object.entries(map).map(([key, value]) =>
        isMapping(value) && !has(mappingOf(this.#was['states']), key)
          ? [key, this.#renamedStates(value)]
          : [this.#renames.now(key, 'states', ''), value],
      ),
    );
  }

  #expression(at: At, key: string, was: unknown, is: unknown, weight: Weight): void {
    const before = this.#renamed(was, at.scope);
    if (normal(before) === normal(is)) {
      if (JSON.stringify(before) !== JSON.stringify(is))
        this.#differ(at, key, 'restated', 'wording', write(was), write(is));
      return;
    }
    const known = (value: unknown, document: Mapping): string =>
      normal(withoutVariants(value, (name) => has(mappingOf(document['variants']), name)));
    if (known(before, this.#is) === known(is, this.#was)) return;
    this.#differ(at, key, 'rule-changed', weight, write(was), write(is));
  }

  /** A value in the names of the new revision, wherever a text in it is the name of a reading or of what is derived. */
  #renamed(value: unknown, scope: string): unknown {
    return withNewNames(value, (text) => {
      const [, own = text, place = ''] = /^([^@]*)(@.*)?$/.exec(text) ?? [];
      const dot = own.lastIndexOf('.');
      if (dot < 0) return this.#renames.now(own, 'any', scope) + place;
      const as = own.slice(0, dot);
      const inner = this.#renames.now(own.slice(dot + 1), 'any', this.#performedAs(as, scope));
      return `${this.#renames.now(as, 'steps', scope)}.${inner}${place}`;
    });
  }

  /** The procedure that another one performs under a name. */
  #performedAs(as: string, scope: string): string {
    const found = this.#steps
      .get(scope)
      ?.pairs.find(({ before }) => before.kind === 'perform' && before.id === as);
    return found === undefined ? scope : String(found.after.value['perform']);
  }

  #inner(at: At, key: string, keys: Keys, was: unknown, is: unknown): void {
    if (isMapping(was) && isMapping(is)) {
      const inner = { ...at, before: pointerTo(at.before, key), after: pointerTo(at.after, key) };
      return this.#keys(inner, keys, was, is);
    }
    if (normal(was) === normal(is)) return;
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
    this.#differ(at, key, change, weight, write(was), write(is), effect);
  }

  #things(at: At, key: string, form: Extract<Form, { form: 'things' }>, was: unknown, is: unknown): void {
    const before = mappingOf(was);
    const after = mappingOf(is);
    const renamed = this.#renames.of(form.of, at.scope);
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
        this.#add(one, form.of === 'variants' ? 'variant-removed' : 'removed', weightOf(form.of), {
          before: stated(one.before, describe(name, value)),
          ...lossOf(form.of),
        });
        continue;
      }
      if (now !== name)
        this.#add(one, 'renamed', 'wording', {
          before: stated(one.before, name),
          after: stated(one.after, now),
        });
      const from = mappingOf(value);
      const to = mappingOf(after[now]);
      this.#keys(one, form.keys, from, to);
      if (form.of === 'tolerances') {
        this.#limits(one, from, to);
        this.#rule(one, from, to);
      }
      if (form.of === 'holds') this.#releases(one, from, to);
      if (form.of === 'observations') this.#answers(one, from, to);
      if (form.of === 'variants') this.#variant(one, from, to);
      if (isProcedure) this.#nodes(one);
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
      this.#add(one, form.of === 'variants' ? 'variant-added' : 'added', weightOf(form.of), {
        after: stated(one.after, describe(name, value)),
      });
    }
  }

  #limits(at: At, was: Mapping, is: Mapping): void {
    const before = writtenLimits(was);
    const after = writtenLimits(is);
    const engines = Object.entries(this.#old.variants).flatMap(([name, old]) => {
      const now = this.#renames.now(name, 'variants', '');
      const engine = this.#new.variants[now];
      return engine === undefined ? [] : [{ name: now, old, engine }];
    });
    const groups = new Map<
      LimitRelation,
      { readonly name: string; readonly from: Said; readonly to: Said }[]
    >();
    let isNumeric = engines.length > 0;
    for (const { name, old, engine } of engines) {
      const from = limitsFor(before, old);
      const to = limitsFor(after, engine);
      if (from === undefined || to === undefined) {
        isNumeric = false;
        continue;
      }
      const says = { name, from: writeLimits(before, old), to: writeLimits(after, engine) };
      const relation = limitRelation(from, to);
      if (relation !== 'same' || says.from.says !== says.to.says)
        groups.set(relation, [...(groups.get(relation) ?? []), says]);
    }
    for (const [relation, some] of groups) {
      const change = relation === 'same' ? 'restated' : relation;
      this.#add(at, change, relation === 'same' ? 'wording' : 'conformity', {
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
      });
    }
    if (isNumeric || normal(this.#renamed(before, at.scope)) === normal(after)) return;
    this.#differ(at, limitKey(after, before), 'rule-changed', 'conformity', write(before), write(after));
  }

  #answers(at: At, was: Mapping, is: Mapping): void {
    const before = mappingOf(was['answers']);
    const after = mappingOf(is['answers']);
    for (const answer of new Set([...Object.keys(before), ...Object.keys(after)])) {
      const inner = {
        ...at,
        name: `${at.name}/${answer}`,
        kind: 'answer',
        before: pointerTo(at.before, 'answers'),
        after: pointerTo(at.after, 'answers'),
      };
      if (!has(after, answer))
        this.#differ(inner, answer, 'removed', 'work', write(before[answer]), undefined);
      else if (!has(before, answer))
        this.#differ(inner, answer, 'added', 'work', undefined, write(after[answer]));
      else this.#words(inner, answer, before[answer], after[answer], 'wording');
    }
  }

  #variant(at: At, was: Mapping, is: Mapping): void {
    for (const { key, change, weight, before, after } of compareEngine(this.#old, this.#new, at))
      this.#differ(at, key, change, weight, before, after);
    const before = mappingOf(was['facts']);
    const after = mappingOf(is['facts']);
    const limiting = limitingFacts(this.#is);
    for (const fact of new Set([...Object.keys(before), ...Object.keys(after)])) {
      const inner = {
        ...at,
        kind: 'fact',
        name: `${at.name}/${fact}`,
        before: pointerTo(at.before, 'facts'),
        after: pointerTo(at.after, 'facts'),
      };
      if (!has(after, fact)) this.#differ(inner, fact, 'removed', 'work', write(before[fact]), undefined);
      else if (!has(before, fact)) this.#differ(inner, fact, 'added', 'work', undefined, write(after[fact]));
      // What it does to a limit is said there.
      else if (!limiting.has(fact))
        this.#value(inner, fact, before[fact], after[fact], { form: 'value', weight: 'conformity' });
    }
  }

  #releases(at: At, was: Mapping, is: Mapping): void {
    const keyed = (value: unknown) =>
      new Map(
        listOf(value).map((one, index) => {
          const release = mappingOf(one);
          const who = release['concession'] ?? release['witness'] ?? '';
          const kind = ['concession', 'witness', 'rework'].find((key) => has(release, key)) ?? '';
          return [
            `${kind} ${this.#renames.now(String(isText(who) ? who : ''), 'roles', '')}`.trim(),
            { release, index },
          ] as const;
        }),
      );
    const before = keyed(was['release']);
    const after = keyed(is['release']);
    for (const [who, { release, index }] of before) {
      const now = after.get(who);
      const pointer = pointerTo(at.before, 'release', index);
      if (now === undefined) {
        this.#add(at, 'hold-changed', 'conformity', {
          key: 'release',
          before: stated(pointer, who),
          ...(who.startsWith('concession') ? { effect: 'stronger' as const } : {}),
        });
        continue;
      }
      const inner = { ...at, before: pointer, after: pointerTo(at.after, 'release', now.index) };
      this.#keys(inner, releaseKeys, release, now.release);
      this.#bodies(
        inner,
        placeNodes(release['rework'], pointerTo(pointer, 'rework')),
        placeNodes(now.release['rework'], pointerTo(inner.after, 'rework')),
      );
    }
    for (const [who, { index }] of after)
      if (!before.has(who))
        this.#add(at, 'hold-changed', 'conformity', {
          key: 'release',
          after: stated(pointerTo(at.after, 'release', index), who),
          ...(who.startsWith('concession') ? { effect: 'weaker' as const } : {}),
        });
  }

  #remedy(at: At, key: string, was: unknown, is: unknown): void {
    const before = mappingOf(was);
    const after = mappingOf(is);
    const pointers = { before: pointerTo(at.before, key), after: pointerTo(at.after, key) };
    if (was === undefined || is === undefined) {
      const effect = is === undefined ? 'weaker' : 'stronger';
      return this.#differ(
        at,
        key,
        'hold-changed',
        'conformity',
        was === undefined ? undefined : describeRemedy(before),
        is === undefined ? undefined : describeRemedy(after),
        effect,
      );
    }
    if (has(before, 'when-high') && has(after, 'when-high')) {
      const inner = { ...at, ...pointers };
      for (const side of ['when-high', 'when-low']) this.#remedy(inner, side, before[side], after[side]);
      return;
    }
    if (has(before, 'rework') && has(after, 'rework'))
      return this.#keys({ ...at, ...pointers }, reworkKeys, before, after);
    const held = isText(before['hold'])
      ? this.#renames.now(this.#renames.now(before['hold'], 'holds', at.scope), 'holds', '')
      : undefined;
    if (held !== undefined && held === after['hold']) return;
    this.#differ(at, key, 'hold-changed', 'conformity', describeRemedy(before), describeRemedy(after));
  }

  #nodes(at: At): void {
    const match = this.#steps.get(at.scope);
    if (match === undefined) return;
    this.#matched(at, match);
  }

  #bodies(at: At, before: readonly Placed[], after: readonly Placed[]): void {
    this.#matched(at, matchNodes(before, after));
  }

  #matched(at: At, { pairs, gone, come }: NodeMatch): void {
    for (const { before, after, isMoved } of pairs) {
      const one = this.#node(at, after, before.pointer, after.pointer);
      if (before.id !== after.id)
        this.#add(one, 'renamed', 'wording', {
          before: stated(before.pointer, before.id),
          after: stated(after.pointer, after.id),
        });
      if (isMoved)
        this.#add(one, 'moved', 'work', {
          before: stated(before.pointer, placeOf(before, this.#was)),
          after: stated(after.pointer, placeOf(after, this.#is)),
        });
      this.#keys(one, nodeKeys[after.kind] ?? {}, before.value, after.value);
      if (after.kind === 'step') this.#transitions(one, before.value['changes'], after.value['changes']);
      if (after.kind === 'choose') this.#cases(one, before.value['cases'], after.value['cases']);
    }
    for (const node of gone) {
      const one = this.#node(at, node, node.pointer, '');
      const weight = weightOfNode(node);
      this.#add(one, 'removed', weight, {
        before: stated(node.pointer, describeNode(node)),
        ...(weight === 'work' ? {} : { effect: 'weaker' }),
      });
    }
    for (const node of come) {
      const one = this.#node(at, node, '', node.pointer);
      const weight = weightOfNode(node);
      this.#add(one, 'added', weight, {
        after: stated(node.pointer, describeNode(node)),
        ...(weight === 'work' ? {} : { effect: 'stronger' }),
      });
    }
  }

  #node(at: At, node: Placed, before: string, after: string): At {
    return { kind: node.kind, name: `${at.name}/${node.path}`, scope: at.scope, before, after };
  }

  #transitions(at: At, was: unknown, is: unknown): void {
    const before = mappingOf(this.#renamedStates(was));
    const after = mappingOf(is);
    for (const state of new Set([...Object.keys(before), ...Object.keys(after)])) {
      if (normal(before[state]) === normal(after[state])) continue;
      const inner = { ...at, before: pointerTo(at.before, 'changes'), after: pointerTo(at.after, 'changes') };
      this.#differ(inner, state, 'changed', 'work', arrow(state, before[state]), arrow(state, after[state]));
    }
  }

  #cases(at: At, was: unknown, is: unknown): void {
    const whens = (value: unknown, scope: string | undefined) =>
      listOf(value).map((one) => {
        const { when } = mappingOf(one);
        return { when, key: normal(scope === undefined ? when : this.#renamed(when, scope)) };
      });
    const before = whens(was, at.scope);
    const after = whens(is, undefined);
    const left = after
      .map((one, index) => ({ ...one, index }))
      .filter(({ key }) => !before.some((one) => one.key === key));
    before.forEach(({ when, key }, index) => {
      if (after.some((one) => one.key === key)) return;
      const to = left.shift();
      this.#add(at, to === undefined ? 'removed' : 'rule-changed', 'work', {
        key: 'cases',
        before: stated(pointerTo(at.before, 'cases', index, 'when'), write(when) ?? ''),
        ...(to === undefined
          ? {}
          : { after: stated(pointerTo(at.after, 'cases', to.index, 'when'), write(to.when) ?? '') }),
      });
    });
    for (const { when, index } of left)
      this.#add(at, 'added', 'work', {
        key: 'cases',
        after: stated(pointerTo(at.after, 'cases', index, 'when'), write(when) ?? ''),
      });
  }

  #laws(): void {
    const keyed = (value: unknown) =>
      new Map(
        listOf(value).map(
          (one, index) => [String(mappingOf(one)['law']), { law: mappingOf(one), index }] as const,
        ),
      );
    const before = keyed(this.#was['interlocks']);
    const after = keyed(this.#is['interlocks']);
    const plain = (laws: typeof before) =>
      Object.fromEntries([...laws].map(([name, { law }]) => [name, { ...law, law: '' }]));
    const renamed = renamesOf(plain(before), plain(after));
    for (const [name, { law, index }] of before) {
      const now = renamed.get(name) ?? name;
      const to = after.get(now);
      const at: At = {
        kind: 'law',
        name: now,
        scope: '',
        before: pointerTo('/interlocks', index),
        after: to === undefined ? '' : pointerTo('/interlocks', to.index),
      };
      if (to === undefined) {
        this.#add(at, 'weakened', 'safety', {
          before: stated(at.before, String(law['says'])),
          effect: 'weaker',
        });
        continue;
      }
      if (now !== name)
        this.#add(at, 'renamed', 'wording', {
          before: stated(at.before, name),
          after: stated(at.after, now),
        });
      const form = (one: Mapping) => ['while', 'operation', 'entering', 'never'].find((key) => has(one, key));
      if (form(law) === form(to.law)) this.#keys(at, interlockKeys, law, to.law);
      else
        this.#add(at, 'rule-changed', 'safety', {
          before: stated(at.before, String(law['says'])),
          after: stated(at.after, String(to.law['says'])),
        });
    }
    const kept = new Set([...before.keys()].map((name) => renamed.get(name) ?? name));
    for (const [name, { law, index }] of after) {
      if (kept.has(name)) continue;
      const at: At = { kind: 'law', name, scope: '', before: '', after: pointerTo('/interlocks', index) };
      this.#add(at, 'strengthened', 'safety', {
        after: stated(at.after, String(law['says'])),
        effect: 'stronger',
      });
    }
  }

  /** What was taken from libraries is compared as if it stood in the pack; here it is only said that they are others. */
  #libraries(): void {
    const before = mappingOf(this.#was['uses']);
    const after = mappingOf(this.#is['uses']);
    for (const name of new Set([...Object.keys(before), ...Object.keys(after)])) {
      const says = (uses: unknown): string | undefined =>
        isMapping(uses) ? `${name} ${String(uses['revision'])}` : undefined;
      if (normal(before[name]) === normal(after[name])) continue;
      const at: At = { kind: 'library', name, scope: '', before: '/uses', after: '/uses' };
      this.#differ(
        at,
        name,
        says(before[name]) === undefined ? 'added' : says(after[name]) === undefined ? 'removed' : 'changed',
        'wording',
        says(before[name]),
        says(after[name]),
      );
    }
  }

  #trials(): void {
    const before = mappingOf(this.#was['trials']);
    const after = mappingOf(this.#is['trials']);
    for (const name of new Set([...Object.keys(before), ...Object.keys(after)])) {
      const says = (trial: unknown): string | undefined =>
        isMapping(trial) ? String(trial['says'] ?? name) : undefined;
      if (normal(before[name]) === normal(after[name])) continue;
      const at: At = { kind: 'trial', name, scope: '', before: '/trials', after: '/trials' };
      const change = !has(before, name) ? 'added' : has(after, name) ? 'changed' : 'removed';
      this.#differ(at, name, change, 'wording', says(before[name]), says(after[name]));
    }
  }
}

type Said = ReturnType<typeof writeLimits>;

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

const isText = (value: unknown): value is string => typeof value === 'string';
const squeezed = (text: string): string => text.replace(/\s+/g, ' ').trim();
const numbersIn = (text: string): string =>
  (text.replace(/\{[^}]*\}/g, '').match(/\d+(?:[.,]\d+)?/g) ?? []).sort().join(' ');

function stated(pointer: string, says: string): Stated {
  const other = inOther(says);
  return { pointer, says, ...(other === undefined ? {} : { other }) };
}

/** A value as a reader sees it: texts as they are, lists with commas, everything else as JSON. */
function write(value: unknown): string | undefined {
  if (value === undefined) return undefined;
  if (isText(value)) return value;
  if (isList(value))
    return value
      .map((one) => (isText(one) ? one : isList(one) ? one.join(' → ') : JSON.stringify(one)))
      .join(', ');
  return JSON.stringify(value);
}

const arrow = (state: string, value: unknown): string | undefined =>
  value === undefined
    ? undefined
    : `${state}: ${listOf(value)
        .map((one) => textsOf(one).join(' or '))
        .join(' → ')}`;

function describe(name: string, value: unknown): string {
  const { title, text, measurand, says } = mappingOf(value);
  const words = [title, text, measurand, says].find(isText);
  return words === undefined ? name : `${name}: ${words}`;
}

function describeNode({ kind, id, value }: Placed): string {
  const words = [value['do'], value['title'], value['turn-until']].find(isText);
  return words === undefined ? `${kind} ${id}` : words;
}

function describeRemedy(remedy: Mapping): string {
  if (isText(remedy['hold'])) return `hold ${remedy['hold']}`;
  if (has(remedy, 'when-high'))
    return `when high: ${describeRemedy(mappingOf(remedy['when-high']))}; when low: ${describeRemedy(mappingOf(remedy['when-low']))}`;
  return `rework of ${listOf(remedy['rework']).length} steps, then again from ${String(remedy['resume-at'])}`;
}

/** Where a node stands, in words: after which other, and in what. */
function placeOf(node: Placed, document: Mapping): string {
  const trail = node.pointer.split('/');
  const index = Number(trail.at(-1));
  const list = trail
    .slice(1, -1)
    .reduce<unknown>(
      (value, key) =>
        isList(value)
          ? value[Number(key)]
          : mappingOf(value)[key.replaceAll('~1', '/').replaceAll('~0', '~')],
      document,
    );
  const name = (at: number): string | undefined => {
    const one = mappingOf(listOf(list)[at]);
    const named =
      one['step'] ??
      one['block'] ??
      one['as'] ??
      one['perform'] ??
      one['id'] ??
      one['each'] ??
      one['choose'] ??
      one['hold'];
    return isText(named) ? named : undefined;
  };
  const around = node.path.split('/').slice(0, -1).join('/');
  const inside = around === '' ? '' : ` in ${around}`;
  const before = name(index - 1);
  return before === undefined ? `first${inside}` : `after ${before}${inside}`;
}

const conformityKeys = ['judge', 'read', 'observe', 'identify', 'renew', 'witness', 'together-with'];

/** A node that judges, reads or waits for another person weighs more than one that only works. */
function weightOfNode({ kind, value, bodies }: Placed): Weight {
  if (kind === 'hold') return 'safety';
  if (kind === 'step' && (has(value, 'witness') || has(value, 'together-with'))) return 'safety';
  if (kind === 'step' && conformityKeys.some((key) => has(value, key))) return 'conformity';
  const inner = bodies
    .filter(({ slot }) => slot !== 'if-struck/rework')
    .flatMap(({ nodes }) => nodes.map(weightOfNode));
  return inner.includes('safety') ? 'safety' : inner.includes('conformity') ? 'conformity' : 'work';
}

const weightOf = (kind: NameKind): Weight => {
  if (kind === 'hazards') return 'safety';
  if (
    kind === 'tolerances' ||
    kind === 'readings' ||
    kind === 'observations' ||
    kind === 'derived' ||
    kind === 'holds'
  )
    return 'conformity';
  return 'work';
};

const lossOf = (kind: NameKind): { readonly effect?: 'weaker' } =>
  kind === 'tolerances' || kind === 'hazards' ? { effect: 'weaker' } : {};

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

/** Facts of variants that some limit names. */
function limitingFacts(document: Mapping): ReadonlySet<string> {
  const facts = new Set<string>();
  for (const procedure of Object.values(mappingOf(document['procedures'])))
    for (const tolerance of Object.values(mappingOf(mappingOf(procedure)['tolerances'])))
      for (const fact of factsIn(writtenLimits(mappingOf(tolerance)))) facts.add(fact);
  return facts;
}

/** A condition without the variants that only one revision has. */
function withoutVariants(value: unknown, isKept: (name: string) => boolean): unknown {
  if (!isMapping(value) || !isList(value['variant'])) return value;
  return { ...value, variant: textsOf(value['variant']).filter(isKept).sort() };
}
