import { type Pack, pointerTo } from '@ferrule/engine';
import type { Change, ChangeClass, Stated, Weight } from './change.ts';
import { has, isMapping, type Mapping, mappingOf } from './json.ts';
import { type Keys, packKeys, procedureKeys } from './keys.ts';
import { matchNodes, type NodeMatch, placeNodes } from './match-nodes.ts';
import { Renames, renamesOf, withNewNames } from './renames.ts';
import { stated } from './say.ts';

/** Something that both revisions have, and where. */
export interface At {
  readonly kind: string;
  readonly name: string;
  /** The procedure that it belongs to, by its new name; empty outside of procedures. */
  readonly scope: string;
  readonly before: string;
  readonly after: string;
}

/** A change with the thing that it is about, for whoever puts it into words. */
export interface Found extends Change {
  readonly at: At;
  /** Of a list of names, those that came or went. */
  readonly names?: readonly string[];
  /** What was and what is, by variant, where it is not the same for all of them. */
  readonly each?: readonly { readonly variant: string; readonly was: string; readonly is: string }[];
}

/** Compares all keys of something that both revisions have. */
export type CompareKeys = (c: Comparison, at: At, keys: Keys, was: Mapping, is: Mapping) => void;

/** Two revisions that are being compared: what was renamed in the newer one, and what has been found so far. */
export class Comparison {
  readonly old: Pack;
  readonly new: Pack;
  readonly was: Mapping;
  readonly is: Mapping;
  readonly renames = new Renames();
  /** What became of the nodes of each procedure, by its new name. */
  readonly steps = new Map<string, NodeMatch>();
  readonly found: Found[] = [];
  readonly #compareKeys: CompareKeys;

  constructor(was: Pack, is: Pack, compareKeys: CompareKeys) {
    this.old = was;
    this.new = is;
    this.was = mappingOf(was);
    this.is = mappingOf(is);
    this.#compareKeys = compareKeys;
    this.#findRenames();
  }

  keys(at: At, keys: Keys, was: Mapping, is: Mapping): void {
    this.#compareKeys(this, at, keys, was, is);
  }

  add(
    at: At,
    change: ChangeClass,
    weight: Weight,
    more: {
      readonly key?: string;
      readonly before?: Stated;
      readonly after?: Stated;
      readonly effect?: 'weaker' | 'stronger';
      readonly variants?: readonly string[];
      readonly names?: readonly string[];
      readonly each?: NonNullable<Found['each']>;
      readonly limits?: NonNullable<Found['limits']>;
    } = {},
  ): void {
    this.found.push({ at, change, weight, kind: at.kind, name: at.name, ...more });
  }

  /** Adds a change of what stands under a key, or of one item there. */
  differ(
    at: At,
    key: string,
    change: ChangeClass,
    weight: Weight,
    before: string | undefined,
    after: string | undefined,
    effect?: Change['effect'],
    names?: readonly string[],
  ): void {
    this.add(at, change, weight, {
      key,
      ...(names === undefined ? {} : { names }),
      ...(before === undefined ? {} : { before: stated(pointerTo(at.before, key), before) }),
      ...(after === undefined ? {} : { after: stated(pointerTo(at.after, key), after) }),
      ...(effect === undefined ? {} : { effect }),
    });
  }

  /** A map of states in the names of the new revision. */
  inNewStates(map: unknown): unknown {
    if (!isMapping(map)) return map;
    return Object.fromEntries(
      Object.entries(map).map(([key, value]) =>
        isMapping(value) && !has(mappingOf(this.was['states']), key)
          ? [key, this.inNewStates(value)]
          : [this.renames.now(key, 'states', ''), value],
      ),
    );
  }

  /** A value in the names of the new revision, wherever a text in it is the name of a reading or of what is derived. */
  inNewNames(value: unknown, scope: string): unknown {
    return withNewNames(value, (text) => {
      const [, own = text, place = ''] = /^([^@]*)(@.*)?$/.exec(text) ?? [];
      const dot = own.lastIndexOf('.');
      if (dot < 0) return this.renames.now(own, 'any', scope) + place;
      const as = own.slice(0, dot);
      const inner = this.renames.now(own.slice(dot + 1), 'any', this.#performedAs(as, scope));
      return `${this.renames.now(as, 'steps', scope)}.${inner}${place}`;
    });
  }

  /** The procedure that another one performs under a name. */
  #performedAs(as: string, scope: string): string {
    const found = this.steps
      .get(scope)
      ?.pairs.find(({ before }) => before.kind === 'perform' && before.id === as);
    return found === undefined ? scope : String(found.after.value['perform']);
  }

  #findRenames(): void {
    for (const [key, form] of Object.entries(packKeys))
      if (form.form === 'things') this.renames.set(form.of, '', renamesOf(this.was[key], this.is[key]));
    const procedures = mappingOf(this.is['procedures']);
    // A hold that several procedures use names steps of any of them.
    const anySteps = new Map<string, string>();
    for (const [name, was] of Object.entries(mappingOf(this.was['procedures']))) {
      const now = this.renames.now(name, 'procedures', '');
      const is = procedures[now];
      if (!isMapping(was) || !isMapping(is)) continue;
      for (const [key, form] of Object.entries(procedureKeys))
        if (form.form === 'things') this.renames.set(form.of, now, renamesOf(was[key], is[key]));
      const match = matchNodes(
        placeNodes(was['steps'], pointerTo('/procedures', name, 'steps')),
        placeNodes(is['steps'], pointerTo('/procedures', now, 'steps')),
      );
      this.steps.set(now, match);
      const steps = match.pairs.filter(({ before, after }) => before.id !== after.id);
      for (const { before, after } of steps) anySteps.set(before.id, after.id);
      this.renames.set('steps', now, new Map(steps.map(({ before, after }) => [before.id, after.id])));
    }
    this.renames.set('steps', '', anySteps);
  }
}
