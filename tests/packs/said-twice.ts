import type { SourceMapping, SourceValue } from '@ferrule/source';

/** What a pack or a library says in its own files, without what it takes from libraries. */
export interface Written {
  /** `name/revision`. */
  readonly id: string;
  readonly document: SourceMapping;
}

/** One thing that stands in two places or more. */
export interface Repeat {
  /** What kind of thing it is: a section, or `law`, `fact`, `figures`, `steps`. */
  readonly kind: string;
  /** Its words, without capitals and signs. */
  readonly words: string;
  readonly in: readonly string[];
}

/** What is listed by a text of its own, and the key of the text that a reader sees. */
const byText: ReadonlyMap<string, string> = new Map([
  ['roles', 'title'],
  ['conditions', 'text'],
  ['hazards', 'text'],
  ['equipment', 'title'],
  ['supplies', 'title'],
  ['instruments', 'title'],
  ['tables', 'title'],
  ['parts', 'title'],
  ['joints', 'title'],
  ['stock', 'title'],
  ['fields', 'title'],
  ['states', 'title'],
  ['operations', 'title'],
  ['holds', 'text'],
  ['procedures', 'title'],
  ['observations', 'text'],
  ['readings', 'measurand'],
]);

/** Sections whose figures say the same whatever they are called. */
const byFigures: ReadonlySet<string> = new Set(['instruments', 'tables', 'stock']);

/** A procedure can declare these for itself. */
const ofProcedures = ['readings', 'observations', 'tolerances', 'holds'];

/** So many steps in a row with the same words are a procedure of their own. */
const GROUP = 3;

const isMapping = (value: SourceValue | undefined): value is SourceMapping =>
  typeof value === 'object' && !Array.isArray(value);

const entriesOf = (value: SourceValue | undefined): readonly (readonly [string, SourceMapping])[] =>
  isMapping(value)
    ? Object.entries(value).flatMap(([name, item]) => (isMapping(item) ? [[name, item] as const] : []))
    : [];

const listOf = (value: SourceValue | undefined): readonly SourceValue[] =>
  Array.isArray(value) ? value : [];

const wordsOf = (text: string): string =>
  text
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();

/** Content in an order of its own, so that the order of keys makes no difference. */
function figuresOf(value: SourceValue): string {
  if (typeof value === 'string') return value;
  if (Array.isArray(value)) return `[${value.map(figuresOf).join(', ')}]`;
  const keys = Object.entries(value).map(([key, item]) => `${key}: ${figuresOf(item)}`);
  return `{ ${keys.sort().join(', ')} }`;
}

const without = (value: SourceMapping, ...keys: readonly string[]): SourceMapping =>
  Object.fromEntries(Object.entries(value).filter(([key]) => !keys.includes(key)));

type Said = readonly [kind: string, words: string];

function saidInSections(document: SourceMapping): readonly Said[] {
  return [...byText].flatMap(([section, key]) =>
    entriesOf(document[section]).flatMap(([, item]): readonly Said[] => {
      const text = item[key];
      const figures: readonly Said[] = byFigures.has(section)
        ? [['figures', figuresOf(without(item, 'title', 'note', 'source'))]]
        : [];
      return typeof text === 'string' ? [[section, wordsOf(text)], ...figures] : figures;
    }),
  );
}

function saidByLaws(document: SourceMapping): readonly Said[] {
  return listOf(document['interlocks']).flatMap((law): readonly Said[] => {
    if (!isMapping(law) || typeof law['says'] !== 'string') return [];
    return [
      ['law', wordsOf(law['says'])],
      ['law', figuresOf(without(law, 'law', 'says'))],
    ];
  });
}

function saidByVariants(document: SourceMapping): readonly Said[] {
  return entriesOf(document['variants']).flatMap(([variant, item]) => {
    const facts = isMapping(item['facts']) ? Object.entries(item['facts']) : [];
    return [...Object.entries(without(item, 'facts')), ...facts].map(
      ([name, value]): Said => ['fact', `${variant} ${name} ${figuresOf(value)}`],
    );
  });
}

/** The texts of the steps below, each run of steps that stand in one list, in the order of writing. */
function runsOfSteps(value: SourceValue): readonly (readonly string[])[] {
  if (typeof value === 'string') return [];
  if (!Array.isArray(value)) return Object.values(value).flatMap(runsOfSteps);
  const run = value.flatMap((item) =>
    isMapping(item) && typeof item['do'] === 'string' ? [wordsOf(item['do'])] : [],
  );
  return [run, ...value.flatMap(runsOfSteps)];
}

function saidBySteps(document: SourceMapping): readonly Said[] {
  return runsOfSteps(without(document, 'trials')).flatMap((run) =>
    run
      .slice(0, Math.max(0, run.length - GROUP + 1))
      .map((_, at): Said => ['steps', run.slice(at, at + GROUP).join(' / ')]),
  );
}

function saidIn(document: SourceMapping): readonly Said[] {
  const procedures = entriesOf(document['procedures']).flatMap(([, procedure]) => {
    const own = Object.fromEntries(Object.entries(procedure).filter(([key]) => ofProcedures.includes(key)));
    const tolerances = entriesOf(own['tolerances']).map(
      ([, one]): Said => ['tolerances', figuresOf(without(one, 'title'))],
    );
    return [...saidInSections(own), ...tolerances];
  });
  return [
    ...saidInSections(document),
    ...saidByLaws(document),
    ...saidByVariants(document),
    ...procedures,
    ...saidBySteps(document),
  ];
}

/**
 * What two or more of the documents say alike: declarations with the same text or the same figures under whatever names,
 * laws, facts of a variant, and groups of steps with the same words. What one document says twice is not looked at.
 */
export function saidTwice(written: readonly Written[]): readonly Repeat[] {
  const places = new Map<
    string,
    { readonly kind: string; readonly words: string; readonly ids: Set<string> }
  >();
  for (const { id, document } of written) {
    for (const [kind, words] of saidIn(document)) {
      const key = `${kind}: ${words}`;
      const there = places.get(key) ?? { kind, words, ids: new Set() };
      there.ids.add(id);
      places.set(key, there);
    }
  }
  return [...places.values()]
    .filter(({ ids }) => ids.size > 1)
    .map(({ kind, words, ids }) => ({ kind, words, in: [...ids].sort() }));
}
