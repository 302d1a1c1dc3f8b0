import { type Pack, pointerTo, type written } from '@ferrule/engine';
import { namesInFull, namingWords, placeOf, wordsOf } from '../name-words.ts';
import { writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const namesAnother: DiagnosticKind = {
  code: 'names-another',
  severity: 'warning',
  says: 'The words of a step name something else than what the step is about.',
  marks: 'value',
  examine: namingAnother,
};

/** Something that is declared, with the words that people know it by. */
interface Thing {
  readonly id: string;
  readonly own: ReadonlySet<string>;
  readonly all: ReadonlySet<string>;
  readonly pointer: string;
}

/** What a step says by one key: the things that it names, among all of their kind. */
interface Subjects {
  readonly what: string;
  readonly named: readonly string[];
  readonly among: readonly Thing[];
  /** Where the step names them, inside of it. */
  readonly key: readonly string[];
}

/** Every step whose words name another part, joint, state or reading than the step does. */
export function* namingAnother({ pack }: Subject): Generator<Finding> {
  yield* requiringAnother(pack);
  yield* statingAnother(pack);
  const kinds = kindsOf(pack);
  for (const { step, pointer, procedure } of writtenSteps(pack)) {
    const text = step.do;
    if (text === undefined) continue;
    const told = wordsOf(text.replace(/\{[^}]*\}/g, ' '));
    const readings = procedure === undefined ? [] : readingsOf(pack, procedure);
    const subjects = subjectsOf(step, kinds, readings);
    // What the step names anywhere is rightly in its words.
    const mine = new Set([...subjects.flatMap((one) => one.named), ...(step.with ?? [])].flatMap(wordsOf));
    for (const one of subjects) {
      const { what, named, key } = one;
      const other = otherThan(one, told, mine);
      if (other === undefined) continue;
      yield {
        pointer: pointerTo(pointer, 'do'),
        message: `These words name ${other.id}, and the ${what} of this step is ${named.join(' and ')}.`,
        remedy: 'Correct the words, or the name.',
        other: [
          { pointer: pointerTo(pointer, ...key), message: `the ${what}` },
          { pointer: other.pointer, message: other.id },
        ],
      };
      break;
    }
  }
}

/** A reading that wants the state of its sibling: exhaust-clearance, with the inlet nut tight. */
function* requiringAnother(pack: Pack): Generator<Finding> {
  const states = Object.keys(pack.states ?? {});
  for (const [name, { readings = {} }] of Object.entries(pack.procedures)) {
    for (const [id, { requires = {} }] of Object.entries(readings)) {
      const wanted = Object.keys(requires);
      for (const state of wanted) {
        const meant = siblingMeant(state, states, wordsOf(id));
        if (meant === undefined || wanted.includes(meant)) continue;
        yield {
          pointer: pointerTo('/procedures', name, 'readings', id, 'requires'),
          message: `${id} requires ${state}, and there is ${meant}, which has its name.`,
          remedy: `Did you mean ${meant}?`,
          other: [{ pointer: pointerTo('/states', meant), message: meant }],
        };
      }
    }
  }
}

/** A text of one thing with the fact of its sibling: an exhaust valve, and a feeler of {variant.inlet-high}. */
function* statingAnother(pack: Pack): Generator<Finding> {
  const facts = [...new Set(Object.values(pack.variants).flatMap((one) => Object.keys(one.facts ?? {})))];
  for (const { step, pointer, procedure = '' } of writtenSteps(pack)) {
    const text = step.do ?? '';
    for (const [, fact = ''] of text.matchAll(/\{variant\.([^}]+)\}/g)) {
      const around = wordsOf(`${procedure} ${step.step} ${text.replace(/\{[^}]*\}/g, ' ')}`);
      const meant = siblingMeant(fact, facts, around);
      if (meant === undefined || text.includes(`{variant.${meant}}`)) continue;
      yield {
        pointer: pointerTo(pointer, 'do'),
        message: `These words name the fact ${fact}, and ${step.step} is about what ${meant} is of.`,
        remedy: `Did you mean {variant.${meant}}?`,
      };
    }
  }
}

/** The name that differs from one by a word which stands in a text, where the word in its place does not. */
function siblingMeant(name: string, among: readonly string[], words: readonly string[]): string | undefined {
  const own = wordsOf(name);
  return among.find((other) => {
    const its = wordsOf(other);
    const places = own.flatMap((word, place) => (word === its[place] ? [] : [place]));
    const [place = 0] = places;
    return (
      its.length === own.length &&
      own.length > 1 &&
      places.length === 1 &&
      words.includes(its[place] ?? '') &&
      !words.includes(own[place] ?? '')
    );
  });
}

/** The thing that a text names in place of those that are meant; undefined if it names one of these, or none. */
function otherThan(
  { named, among, key }: Subjects,
  told: readonly string[],
  mine: ReadonlySet<string>,
): Thing | undefined {
  const meant = among.filter((one) => named.includes(one.id));
  if (meant.length !== named.length || meant.length === 0) return undefined;
  const has = (words: Iterable<string>): boolean => [...words].some((word) => told.includes(word));
  return among.find(
    (other) =>
      !named.includes(other.id) &&
      meant.every((one) => {
        if ([...one.own].some((word) => other.own.has(word))) return isSiblingNamed(one, other, told);
        if (has(one.all) || has(mine)) return false;
        return namesInFull(told, other.id) && (key[0] === 'identify' || isObject(told, other.id));
      }),
  );
}

/** Two rings or two covers, told apart by a word each: whether the text has the word of the other one only. */
function isSiblingNamed(one: Thing, other: Thing, told: readonly string[]): boolean {
  const without = (words: ReadonlySet<string>, of: ReadonlySet<string>): readonly string[] =>
    [...words].filter((word) => !of.has(word));
  const itsAlone = without(other.own, one.all);
  const mineAlone = without(one.own, other.all);
  // Where the name has no word of its own, its title may have one.
  const mine = mineAlone.length > 0 ? mineAlone : without(one.all, other.all);
  const shared = [...one.all].filter((word) => other.all.has(word));
  return (
    itsAlone.length > 0 &&
    mine.length > 0 &&
    itsAlone.every((word) => told.includes(word)) &&
    !mine.some((word) => told.includes(word)) &&
    shared.some((word) => told.includes(word))
  );
}

const places: ReadonlySet<string> = new Set(
  'from off out into onto on in under to at around with between over past against beside behind for near by above below of until'.split(
    ' ',
  ),
);

/** Whether a name is what is worked on, and not a place: `draw the nozzle`, not `out of the seat of the nozzle`. */
function isObject(told: readonly string[], id: string): boolean {
  const at = placeOf(told, id);
  return at > 0 && at <= 4 && !told.slice(0, at).some((word) => places.has(word));
}

interface Kinds {
  readonly parts: readonly Thing[];
  readonly joints: readonly Thing[];
  readonly states: readonly Thing[];
}

const kindsOf = (pack: Pack): Kinds => ({
  parts: things(pack.parts, '/parts'),
  joints: things(pack.joints, '/joints'),
  states: things(pack.states, '/states'),
});

type Declared = Readonly<Record<string, { readonly title?: string; readonly measurand?: string }>>;

const known = new WeakMap<Declared, readonly Thing[]>();

/** What a section declares, with the words of each. Made once for a section: every step asks for it. */
function things(declared: Declared | undefined, pointer: string): readonly Thing[] {
  if (declared === undefined) return [];
  const made =
    known.get(declared) ??
    Object.entries(declared).map(([id, { title, measurand }]) => ({
      id,
      own: namingWords(id),
      all: namingWords(id, title ?? measurand),
      pointer: pointerTo(pointer, id),
    }));
  known.set(declared, made);
  return made;
}

const readingsOf = (pack: Pack, procedure: string): readonly Thing[] =>
  things(pack.procedures[procedure]?.readings, pointerTo('/procedures', procedure, 'readings'));

const listOf = (names: string | readonly string[] | undefined): readonly string[] =>
  names === undefined ? [] : typeof names === 'string' ? [names] : names;

function subjectsOf(step: written.Step, kinds: Kinds, readings: readonly Thing[]): readonly Subjects[] {
  const all: readonly Subjects[] = [
    { what: 'part', named: listOf(step.remove), among: kinds.parts, key: ['remove'] },
    { what: 'part', named: listOf(step.renew), among: kinds.parts, key: ['renew'] },
    { what: 'part', named: listOf(step.identify?.part), among: kinds.parts, key: ['identify', 'part'] },
    { what: 'joint', named: listOf(step.tighten?.joint), among: kinds.joints, key: ['tighten', 'joint'] },
    { what: 'state', named: Object.keys(step.changes ?? {}), among: kinds.states, key: ['changes'] },
    { what: 'reading', named: listOf(step.read), among: readings, key: ['read'] },
  ];
  return all.filter((one) => one.named.length > 0);
}
