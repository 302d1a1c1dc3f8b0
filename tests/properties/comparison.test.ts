import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Change, comparePacks } from '@ferrule/compare';
import type { Pack } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { readPack } from '@ferrule/source';
import fc from 'fast-check';
import { dump, FAILSAFE_SCHEMA, load } from 'js-yaml';
import { beforeAll, describe, expect, test } from 'vitest';
import type { Json } from '../compare/edit.ts';
import { smallProcedures } from './small-procedures.ts';

type Map = { [key: string]: Json };
type Keys = readonly (string | number)[];

/** A random edit: the document after it, and what a comparison has to say of it, worked out from the edit alone. */
interface Edited {
  readonly what: string;
  readonly after: () => Json;
  readonly finds: Pick<Change, 'change' | 'effect'> & { readonly kind?: string; readonly key?: string };
  /** Where the change stands before, or after; a change says one of its pointers so. */
  readonly at: readonly string[];
}

const specs = join(import.meta.dirname, '../../specs');
const documents = new globalThis.Map<string, Json>(
  Object.entries(smallProcedures).map(([name, document]) => [`small ${name}`, copy(document)]),
);

beforeAll(async () => {
  for (const pack of readdirSync(specs))
    for (const revision of readdirSync(join(specs, pack))) {
      const { document } = await readPack(join(specs, pack, revision), { withoutTrials: true });
      if (validate(document).pack !== undefined) documents.set(`${pack} ${revision}`, copy(document));
    }
  expect(documents.size).toBeGreaterThan(12);
});

function copy(value: unknown): Json {
  return JSON.parse(JSON.stringify(value));
}

const packOf = (document: Json): Pack | undefined => validate(document).pack;
const isMap = (value: Json | undefined): value is Map =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const pointer = (keys: Keys): string =>
  keys.map((key) => `/${String(key).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('');

/** Every place of a document that an edit can begin at. */
function* places(value: Json, keys: Keys = []): Generator<{ readonly keys: Keys; readonly value: Json }> {
  yield { keys, value };
  if (Array.isArray(value)) for (const [index, one] of value.entries()) yield* places(one, [...keys, index]);
  else if (isMap(value)) for (const [key, one] of Object.entries(value)) yield* places(one, [...keys, key]);
}

/** The document with what stands at a place made anew from what stood there; undefined takes it out. */
function changed(document: Json, keys: Keys, make: (was: Json | undefined) => Json | undefined): Json {
  const after = copy(document);
  let holder: Json = after;
  for (const key of keys.slice(0, -1))
    holder = Array.isArray(holder)
      ? (holder[Number(key)] ?? null)
      : isMap(holder)
        ? (holder[key] ?? null)
        : null;
  const key = keys.at(-1);
  if (key === undefined || holder === null || typeof holder === 'string') throw new Error(pointer(keys));
  if (Array.isArray(holder)) {
    const made = make(holder[Number(key)]);
    holder.splice(Number(key), 1, ...(made === undefined ? [] : [made]));
  } else if (isMap(holder)) {
    const made = make(holder[key]);
    if (made === undefined) delete holder[key];
    else holder[key] = made;
  }
  return after;
}

/** Limits that are numbers. */
const number = /^(\d+(?:\.\d+)?)( \S+)$/;

/** A tenth more or less, with digits for it. */
const tenth = (text: string, sign: 1 | -1): string =>
  text.replace(number, (_, digits: string, unit: string) => {
    const [, decimals = ''] = digits.split('.');
    const scaled = BigInt(digits.replace('.', '')) * (10n + BigInt(sign));
    const padded = String(scaled).padStart(decimals.length + 2, '0');
    const split = padded.length - decimals.length - 1;
    return `${padded.slice(0, split)}.${padded.slice(split)}${unit}`;
  });

type Kind = (document: Json) => Generator<Edited>;

function* limits(document: Json): Generator<Edited> {
  for (const { keys, value } of places(document)) {
    if (keys.at(-2) !== 'tolerances' || !isMap(value)) continue;
    for (const [key, sense] of [
      ['deviation', 1],
      ['at-most', 1],
      ['at-least', -1],
    ] as const) {
      const was = value[key];
      const others = ['nominal', 'plus', 'minus', 'between', 'at-most', 'at-least', 'deviation'].filter(
        (one) => one !== key && Object.hasOwn(value, one),
      );
      if (typeof was !== 'string' || !number.test(was) || /^0(?:\.0+)? /.test(was)) continue;
      if (others.some((one) => typeof value[one] !== 'string' || !/\d/.test(String(value[one])))) continue;
      for (const sign of [1, -1] as const) {
        const isLooser = sign === sense;
        yield {
          what: `${pointer(keys)}/${key} a tenth ${sign > 0 ? 'more' : 'less'}`,
          after: () => changed(document, [...keys, key], () => tenth(was, sign)),
          finds: {
            change: isLooser ? 'loosened' : 'tightened',
            effect: isLooser ? 'weaker' : 'stronger',
            kind: 'tolerance',
            key,
          },
          at: [pointer([...keys, key])],
        };
      }
    }
  }
}

const isNode = (value: Json): value is Map => isMap(value) && typeof value['step'] === 'string';

function* words(document: Json): Generator<Edited> {
  for (const { keys, value } of places(document)) {
    const [key, above] = [keys.at(-1), keys.at(-2)];
    if (typeof value !== 'string' || typeof key !== 'string') continue;
    if (!['do', 'says', 'text', 'title', 'measurand'].includes(key) || keys.includes('answers')) continue;
    // By the title of a mark the crankshaft is set: other words there may be another place.
    if (keys.includes('marks')) continue;
    // A state, a part and the like may be called like one of these keys.
    if (['states', 'roles', 'joints', 'parts', 'answers', 'facts', 'changes'].includes(String(above)))
      continue;
    yield {
      what: `other words at ${pointer(keys)}`,
      after: () => changed(document, keys, () => `${value} Look twice.`),
      finds: { change: 'reworded', key },
      at: [pointer(keys)],
    };
  }
}

function* laws(document: Json): Generator<Edited> {
  const all = isMap(document) ? document['interlocks'] : undefined;
  if (!Array.isArray(all) || all.length < 2) return;
  for (const [index, law] of all.entries()) {
    const keys = ['interlocks', index];
    yield {
      what: `the law ${index} dropped`,
      after: () => changed(document, keys, () => undefined),
      finds: { change: 'weakened', effect: 'weaker', kind: 'law' },
      at: [pointer(keys)],
    };
    yield {
      what: `the law ${index} renamed`,
      after: () => changed(document, keys, () => ({ ...(isMap(law) ? law : {}), law: 'of-another-name' })),
      finds: { change: 'renamed', kind: 'law' },
      at: [pointer(keys)],
    };
  }
}

function* steps(document: Json): Generator<Edited> {
  for (const { keys, value } of places(document)) {
    if (!isNode(value)) continue;
    const index = Number(keys.at(-1));
    const list = keys.slice(0, -1);
    const around = (made: (all: Json[]) => Json[]): Json =>
      changed(document, list, (all) => (Array.isArray(all) ? made(all) : all));
    yield {
      what: `a step put in at ${pointer(keys)}`,
      after: () =>
        around((all) => all.toSpliced(index, 0, { step: 'look-once-more', do: 'Look at the gasket.' })),
      finds: { change: 'added', kind: 'step' },
      at: [pointer(keys)],
    };
    const hazards = value['hazards'];
    if (Array.isArray(hazards))
      for (const [number] of hazards.entries())
        yield {
          what: `a hazard taken out of ${pointer(keys)}`,
          after: () =>
            changed(document, [...keys, 'hazards'], () =>
              hazards.length === 1 ? undefined : hazards.toSpliced(number, 1),
            ),
          finds: { change: 'caution-removed', effect: 'weaker', kind: 'step', key: 'hazards' },
          at: [pointer([...keys, 'hazards'])],
        };
    if (value['witness'] !== undefined)
      yield {
        what: `no witness at ${pointer(keys)}`,
        after: () => changed(document, [...keys, 'witness'], () => undefined),
        finds: { change: 'weakened', effect: 'weaker', kind: 'step', key: 'witness' },
        at: [pointer([...keys, 'witness'])],
      };
    const isPlain = Object.values(value).every((one) => typeof one === 'string');
    if (isPlain)
      yield {
        what: `the step at ${pointer(keys)} taken out`,
        after: () => around((all) => all.toSpliced(index, 1)),
        finds: { change: 'removed', kind: 'step' },
        at: [pointer(keys)],
      };
  }
}

function* requirements(document: Json): Generator<Edited> {
  for (const { keys, value } of places(document)) {
    if (keys.at(-1) !== 'requires' || !isMap(value)) continue;
    for (const state of Object.keys(value)) {
      const rest = Object.fromEntries(Object.entries(value).filter(([name]) => name !== state));
      yield {
        what: `${state} no longer required at ${pointer(keys)}`,
        after: () => changed(document, keys, () => (Object.keys(rest).length === 0 ? undefined : rest)),
        finds: { change: 'weakened', effect: 'weaker', key: 'requires' },
        at: [pointer(keys)],
      };
    }
  }
}

function* instruments(document: Json): Generator<Edited> {
  for (const { keys, value } of places(document)) {
    if (keys.length !== 3 || keys[0] !== 'instruments' || typeof value !== 'string' || !number.test(value))
      continue;
    if (!['resolution', 'maximum-permissible-error'].includes(String(keys[2]))) continue;
    yield {
      what: `a coarser instrument at ${pointer(keys)}`,
      after: () => changed(document, keys, () => tenth(value, 1)),
      finds: { change: 'instrument-changed', effect: 'weaker', kind: 'instrument', key: String(keys[2]) },
      at: [pointer(keys)],
    };
  }
}

/** Two neighbours of a list of steps change places. */
function* order(document: Json): Generator<Edited> {
  for (const { keys, value } of places(document)) {
    const index = Number(keys.at(-1));
    const list = keys.slice(0, -1);
    const next = valueAt(document, [...list, index + 1]);
    if (!isNode(value) || next === undefined || !isNode(next)) continue;
    yield {
      what: `the step at ${pointer(keys)} done later`,
      after: () =>
        changed(document, list, (all) => (Array.isArray(all) ? all.toSpliced(index, 2, next, value) : all)),
      finds: { change: 'moved', kind: 'step' },
      at: [pointer(keys), pointer([...list, index + 1])],
    };
  }
}

function valueAt(document: Json, keys: Keys): Json | undefined {
  let value: Json | undefined = document;
  for (const key of keys)
    value = Array.isArray(value) ? value[Number(key)] : isMap(value) ? value[key] : undefined;
  return value;
}

/** A tolerance gets another name, at every place that names it. */
function* names(document: Json): Generator<Edited> {
  const texts = JSON.stringify(document);
  for (const { keys } of places(document)) {
    const name = keys.at(-1);
    if (keys.length !== 4 || keys[2] !== 'tolerances' || typeof name !== 'string') continue;
    // Only where the name stands for nothing else, and in no name with a dot or a place.
    const as = (text: string): number => texts.split(text).length - 1;
    if (as(`"${name}":`) !== 1 || as(name) !== as(`"judge":"${name}"`) + 1) continue;
    yield {
      what: `${name} renamed`,
      after: () => JSON.parse(texts.replaceAll(`"${name}"`, '"under-another-name"')),
      finds: { change: 'renamed', kind: 'tolerance' },
      at: [pointer(keys)],
    };
  }
}

/** A role that there is may release a hold by a concession, or may do so no more. */
function* releases(document: Json): Generator<Edited> {
  for (const { keys, value } of places(document)) {
    if (keys.at(-1) !== 'release' || !Array.isArray(value)) continue;
    for (const role of Object.keys(isMap(document) && isMap(document['roles']) ? document['roles'] : {})) {
      const known = value.findIndex((one) => isMap(one) && one['concession'] === role);
      if (known >= 0) continue;
      yield {
        what: `${role} may release ${pointer(keys)}`,
        after: () => changed(document, keys, () => [...value, { concession: role }]),
        finds: { change: 'hold-changed', effect: 'weaker', kind: 'hold', key: 'release' },
        at: [pointer([...keys, value.length])],
      };
    }
  }
}

/** An instrument need not be calibrated any more. */
function* calibrations(document: Json): Generator<Edited> {
  for (const { keys } of places(document)) {
    if (keys.length !== 3 || keys[0] !== 'instruments' || keys[2] !== 'calibrated') continue;
    yield {
      what: `${pointer(keys)} given up`,
      after: () => changed(document, keys, () => undefined),
      finds: { effect: 'weaker', change: 'weakened', kind: 'instrument', key: 'calibrated' },
      at: [pointer(keys)],
    };
  }
}

const kinds: Readonly<Record<string, Kind>> = {
  order,
  names,
  releases,
  calibrations,
  limits,
  words,
  laws,
  steps,
  requirements,
  instruments,
};

const opposite: Readonly<Record<string, string>> = Object.fromEntries(
  [
    ['loosened', 'tightened'],
    ['added', 'removed'],
    ['strengthened', 'weakened'],
    ['caution-added', 'caution-removed'],
    ['variant-added', 'variant-removed'],
    ['weaker', 'stronger'],
  ].flatMap(([one = '', other = '']) => [
    [one, other],
    [other, one],
  ]),
);
const turned = (word: string | undefined): string | undefined =>
  word === undefined ? undefined : (opposite[word] ?? word);

const said = ({ change, weight, effect, kind, key, before, after }: Change): string =>
  JSON.stringify([change, weight, effect, kind, key, before, after]);
const mirrored = (one: Change): string =>
  JSON.stringify([
    turned(one.change),
    one.weight,
    turned(one.effect),
    one.kind,
    one.key,
    one.after,
    one.before,
  ]);

/** One of all edits of a kind that make a pack that holds against the format, with that pack. */
function pick(
  document: Json,
  kind: Kind,
  seed: number,
): (Edited & { readonly made: Json; readonly pack: Pack }) | undefined {
  const all = [...kind(document)];
  for (let tries = 0; tries < Math.min(5, all.length); tries++) {
    const one = all[(seed + tries * 7919) % all.length];
    const made = one?.after() ?? null;
    const pack = packOf(made);
    if (one !== undefined && pack !== undefined) return { ...one, made, pack };
  }
  return undefined;
}

describe.each(Object.entries(kinds))('a random edit of %s', (_, kind) => {
  test('is found, nothing else is, and the other way round it is the opposite', () => {
    let found = 0;
    fc.assert(
      fc.property(fc.nat(), fc.nat(), (which, seed) => {
        const names = [...documents.keys()];
        const name = names[which % names.length] ?? '';
        const document = documents.get(name) ?? null;
        const edit = pick(document, kind, seed);
        if (edit === undefined) return;
        found++;
        const before = packOf(document);
        const after = edit.pack;
        if (before === undefined) throw new Error(name);
        const changes = comparePacks(before, after);
        expect(changes.map(said), `${name}: ${edit.what}`).toHaveLength(1);
        expect(changes[0], `${name}: ${edit.what}`).toMatchObject(edit.finds);
        const [one] = changes;
        expect(edit.at, edit.what).toContain(one?.before?.pointer ?? one?.after?.pointer);
        const back = comparePacks(after, before);
        // Of two steps that change places either may be said to have moved.
        if (one?.change === 'moved') expect(back.map(({ change }) => change)).toEqual(['moved']);
        else expect(back.map(said), `${name}: ${edit.what}, back`).toEqual(changes.map(mirrored));
      }),
      { numRuns: Number(process.env['FERRULE_RUNS'] ?? 60) },
    );
    expect(found).toBeGreaterThan(10);
  });
});

test('two random edits at once are both found', () => {
  const all = Object.values(kinds);
  let found = 0;
  fc.assert(
    fc.property(fc.nat(), fc.nat(), fc.nat(), fc.nat(), fc.nat(), (which, one, other, seed, more) => {
      const document = [...documents.values()][which % documents.size] ?? null;
      const kind = all[one % all.length];
      const next = all[other % all.length];
      if (kind === undefined || next === undefined) return;
      const first = pick(document, kind, seed);
      const both = first === undefined ? undefined : pick(first.made, next, more);
      const before = packOf(document);
      if (before === undefined || first === undefined || both === undefined) return;
      const [a, ...moreOfA] = comparePacks(before, first.pack);
      const [b, ...moreOfB] = comparePacks(first.pack, both.pack);
      if (a === undefined || b === undefined) return;
      // Steps that change places twice may stand where they stood, a new one that does was put in elsewhere, and of two
      // that did, where one is taken out the other has not moved.
      const places: readonly Kind[] = [order, steps];
      if (places.includes(kind) && places.includes(next) && (kind === order || next === order)) return;
      // The second may touch what the first has touched, or take it back: then there is less to say.
      if (moreOfA.length > 0 || moreOfB.length > 0 || a.name === b.name) return;
      if (b.before !== undefined && a.after?.pointer.startsWith(b.before.pointer)) return;
      found++;
      const said = comparePacks(before, both.pack).map(({ change, name }) => `${change} ${name}`);
      expect(said.sort(), `${first.what}; ${both.what}`).toEqual(
        [a, b].map(({ change, name }) => `${change} ${name}`).sort(),
      );
    }),
    { numRuns: Number(process.env['FERRULE_RUNS'] ?? 60) },
  );
  expect(found).toBeGreaterThan(5);
});

describe('what is written otherwise and means the same', () => {
  const shuffled = (value: Json, next: () => number): Json => {
    if (Array.isArray(value)) return value.map((one) => shuffled(one, next));
    if (!isMap(value)) return value;
    const entries = Object.entries(value).map(([key, one]) => ({ key, one, rank: next() }));
    return Object.fromEntries(
      entries.sort((a, b) => a.rank - b.rank).map(({ key, one }) => [key, shuffled(one, next)]),
    );
  };

  test('nothing is found between a pack and itself', () => {
    for (const [name, document] of documents) {
      const pack = packOf(document);
      if (pack === undefined) throw new Error(name);
      expect(comparePacks(pack, pack), name).toEqual([]);
    }
  });

  test('the order of keys says nothing', () => {
    fc.assert(
      fc.property(fc.nat(), fc.integer({ min: 1, max: 2 ** 31 - 2 }), (which, seed) => {
        const document = [...documents.values()][which % documents.size] ?? null;
        let state = seed;
        // Park and Miller's generator.
        const next = (): number => (state = (state * 48271) % 2147483647);
        const [before, after] = [packOf(document), packOf(shuffled(document, next))];
        if (before === undefined || after === undefined) throw new Error('does not hold');
        expect(comparePacks(before, after)).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });

  test('nor does the way in which the YAML is laid out', () => {
    fc.assert(
      fc.property(
        fc.nat(),
        fc.record({
          flowLevel: fc.integer({ min: -1, max: 6 }),
          lineWidth: fc.constantFrom(40, 80, -1),
          forceQuotes: fc.boolean(),
          sortKeys: fc.boolean(),
          indent: fc.constantFrom(2, 4),
        }),
        (which, layout) => {
          const document = [...documents.values()][which % documents.size] ?? null;
          const again = load(dump(document, layout), { schema: FAILSAFE_SCHEMA });
          const [before, after] = [packOf(document), packOf(copy(again))];
          if (before === undefined || after === undefined) throw new Error('does not hold');
          expect(comparePacks(before, after)).toEqual([]);
        },
      ),
      { numRuns: 60 },
    );
  });
});
