import { findEntry, type Pack, type Plan, type PlanTolerance } from '@ferrule/engine';
import type { Change } from '../change.ts';
import { findChanges } from '../compare-packs.ts';
import type { Comparison } from '../comparison.ts';
import { bears, pointersOf } from './bearing.ts';
import { type JudgedPart, type Named, otherParts } from './judged-by.ts';
import { type Judged, type Judges, judgedIn } from './judged-in.ts';
import { nowAt, nowNamed } from './now-named.ts';

/** One thing that is judged in a job, as two revisions have it. */
export interface Measure {
  /** Its name with its place, as it is now; of something that is gone, as it was. */
  readonly name: string;
  /** What the older revision calls it; missing where that does not judge it. */
  readonly was?: string;
  readonly title: string;
  readonly judges: Judges;
  /** Its place in the newer plan, among what is of its kind; missing where that does not judge it. */
  readonly place?: number;
  /** The tolerance by which it was judged, where it was one. */
  readonly before?: PlanTolerance;
  /** What it is judged by otherwise. */
  readonly parts: readonly JudgedPart[];
  /** The changes that bear on it, by their place among the changes of the judge. */
  readonly because: readonly number[];
  /** Readings that it needs now and that did not exist. */
  readonly lacks: readonly string[];
  /** What the verdict rests on now, by its old names, and by its new ones. */
  readonly needs: readonly (readonly [was: string, now: string])[];
  /** Among them, what the verdict then did not rest on: whether it still counted has to be looked at. */
  readonly beyond: readonly string[];
  /** Steps of the older plan that judge it or take what it rests on. */
  readonly steps: readonly string[];
  /** The limits in words. */
  readonly limitsThen?: string;
  readonly limitsNow?: string;
}

/** Two revisions of a procedure for one variant, ready to judge jobs of the older one by the newer. */
export interface Judge {
  readonly before: Plan;
  readonly after: Plan;
  readonly changes: readonly Change[];
  readonly measures: readonly Measure[];
  /** By the old name of what was judged. */
  readonly byName: ReadonlyMap<string, number>;
  /** What was judged by an entry, by the old name of the entry. */
  readonly reliesOn: ReadonlyMap<string, readonly number[]>;
  /** Old paths of steps and old kinds of instruments, as they are now. */
  readonly stepNow: (path: string) => string;
  readonly instrumentNow: (kind: string) => string;
  /** Something has to be judged by readings that the verdict then did not rest on. */
  readonly looksFurther: boolean;
}

/** What a plan is called in the newer revision, by what it was called. */
export interface Successor {
  readonly procedure: string;
  readonly variant: string;
}

/** Two packs compared once for all of their procedures. */
export class Comparing {
  readonly #comparison: Comparison;

  constructor(before: Pack, after: Pack) {
    this.#comparison = findChanges(before, after);
  }

  /** What a procedure and a variant are called now. They need not be there any more. */
  successor(procedure: string, variant: string): Successor {
    const { renames } = this.#comparison;
    return {
      procedure: renames.now(procedure, 'procedures', ''),
      variant: renames.now(variant, 'variants', ''),
    };
  }

  /** Makes the judge for two plans of the same procedure. */
  judge(then: Plan, plan: Plan): Judge {
    const c = this.#comparison;
    const changes: readonly Change[] = c.found.map(({ at: _, names: __, ...change }) => change);
    const scope = plan.procedure.id;
    const was: Named = {
      entry: (name) => nowNamed(c, name, entryKinds, scope),
      judged: (name) => nowNamed(c, name, judgedKinds, scope),
      instrument: (id) => c.renames.now(id, 'instruments', ''),
      step: (path) => nowAt(c, path, scope),
    };
    const is: Named = {
      entry: (name) => name,
      judged: (name) => name,
      instrument: (id) => id,
      step: (path) => path,
    };
    const now = withFormerInstruments(then, plan, was);
    const judgedThen = judgedIn(then, was);
    const judgedNow = judgedIn(now, is);
    const oldNames = new Map(then.entries.map((entry) => [was.entry(entry.name), entry.name]));
    const measures: Measure[] = [];
    const made = (from: Judged | undefined, to: Judged | undefined): void => {
      const one = to ?? from;
      if (one === undefined) return;
      const places = {
        was: from === undefined ? [] : pointersOf(c.old, writtenIn(then, from)),
        is: to === undefined ? [] : pointersOf(c.new, writtenIn(now, to)),
      };
      const because = changes.flatMap((change, index) =>
        bears(change, places.was, places.is, now.variant.id) ? [index] : [],
      );
      const needs = (to?.entries ?? []).flatMap(({ name }) => {
        const old = oldNames.get(name);
        return old === undefined ? [] : [[old, name] as const];
      });
      const rested = new Set(from?.entries.map(({ name }) => name));
      measures.push({
        name: one.name,
        title: one.title,
        judges: one.judges,
        ...(from === undefined ? {} : { was: from.written }),
        ...(to === undefined ? {} : { place: to.place }),
        ...(from?.tolerance === undefined ? {} : { before: from.tolerance }),
        parts: from === undefined || to === undefined ? [] : otherParts(from.by, to.by),
        because,
        lacks: (to?.entries ?? []).flatMap(({ name }) => (oldNames.has(name) ? [] : [name])),
        needs,
        beyond: needs.flatMap(([old]) => (rested.has(old) ? [] : [old])),
        steps: from === undefined ? takersOf(then, needs) : from.steps,
        ...(from?.limits === undefined ? {} : { limitsThen: from.limits }),
        ...(to?.limits === undefined ? {} : { limitsNow: to.limits }),
      });
    };
    const left = new Map(judgedThen.map((one) => [`${one.judges} ${one.name}`, one]));
    for (const one of judgedNow) {
      const key = `${one.judges} ${one.name}`;
      made(left.get(key), one);
      left.delete(key);
    }
    for (const one of left.values()) made(one, undefined);
    const byName = new Map(
      measures.flatMap(({ was: name }, index) => (name === undefined ? [] : [[name, index] as const])),
    );
    return {
      ...{ before: then, after: now, changes, measures, byName },
      reliesOn: reliances(judgedThen, byName),
      stepNow: was.step,
      instrumentNow: was.instrument,
      looksFurther: measures.some(
        ({ place, lacks, beyond, was: name }) =>
          place !== undefined && lacks.length === 0 && (beyond.length > 0 || name === undefined),
      ),
    };
  }
}

const entryKinds = ['readings', 'observations', 'fields', 'parts'] as const;
const judgedKinds = ['tolerances', 'observations', 'parts', 'steps'] as const;

const writtenIn = (plan: Plan, { pointer, entries }: Judged) => ({
  pointer,
  variant: plan.variant.id,
  readings: entries.map((one) => one.pointer),
  instruments: entries.flatMap((one) =>
    one.entry === 'reading' && one.instrument !== undefined ? [one.instrument] : [],
  ),
});

/** By each entry, the measures whose verdict then rested on it. */
function reliances(
  before: readonly Judged[],
  byName: ReadonlyMap<string, number>,
): ReadonlyMap<string, readonly number[]> {
  const found = new Map<string, number[]>();
  for (const { written, entries } of before) {
    const index = byName.get(written);
    if (index === undefined) continue;
    for (const { name } of entries) found.set(name, [...(found.get(name) ?? []), index]);
  }
  return found;
}

/** The steps of the older plan that take some of its entries. */
function takersOf(plan: Plan, needs: Measure['needs']): readonly string[] {
  return needs.flatMap(([was]) =>
    (plan.entries[findEntry(plan, was) ?? -1]?.takers ?? []).flatMap((node) => plan.nodes[node]?.path ?? []),
  );
}

/**
 * The newer plan with the kinds of instruments that only the older one has: a reading was taken with the instrument that it
 * was taken with, and what is known of that kind was said there.
 */
function withFormerInstruments(then: Plan, now: Plan, named: Named): Plan {
  const former = then.instruments
    .map((one) => ({ ...one, id: named.instrument(one.id) }))
    .filter(({ id }) => !now.instruments.some((one) => one.id === id));
  return former.length === 0 ? now : { ...now, instruments: [...now.instruments, ...former] };
}
