import type { At, Found } from '../comparison.ts';
import { isText, listOf, type Mapping, mappingOf } from '../json.ts';
import { atPointer, tokensIn } from './at-pointer.ts';

/** Both documents, and which of them a change is best looked up in. */
export interface Documents {
  readonly was: Mapping;
  readonly is: Mapping;
}

/** Kinds that the written format calls otherwise than people do. */
const kindWords: Readonly<Record<string, string>> = {
  choose: 'the choice',
  derived: 'the calculated value',
  each: 'the part for each',
  hold: 'the hold',
  pack: 'the pack',
  perform: 'the part',
  tolerance: 'the limits',
  variant: 'the engine variant',
};

/** Longer words are cut where they only say what is meant. */
const LONGEST = 140;
function quoted(text: string): string {
  const plain = text.replace(/\s+/g, ' ').trim().replaceAll('“', '‘').replaceAll('”', '’');
  if (plain.length <= LONGEST) return `“${plain}”`;
  const cut = plain.slice(0, LONGEST);
  return `“${cut.slice(0, cut.lastIndexOf(' '))} …”`;
}

/** The words by which people know a thing. */
function wordsOf(value: unknown): string | undefined {
  const { title, text, measurand, says, ...rest } = mappingOf(value);
  return [title, text, measurand, says, rest['do'], rest['turn-until']].find(isText);
}

/** A name with the words that people know it by: `bent-valves (“Lifters that …”)`. */
function known(name: string, value: unknown): string {
  const words = wordsOf(value);
  return words === undefined ? name : `${name} (${quoted(words)})`;
}

/** Which document a change is looked up in, and where its thing stands there. */
function placeIn({ before, after }: At, { was, is }: Documents): { document: Mapping; pointer: string } {
  return after === '' && before !== ''
    ? { document: was, pointer: before }
    : { document: is, pointer: after };
}

/** What a change is about, with where it belongs: `In close (“Close up”), the step two-turns (“Turn …”)`. */
export function subject(change: Found, documents: Documents): string {
  const { at, kind, key } = change;
  const { document, pointer } = placeIn(at, documents);
  const tokens = tokensIn(pointer);
  const value = atPointer(document, pointer);
  if (kind === 'pack') return 'The pack';
  const isInside = tokens[0] === 'procedures' && kind !== 'procedure';
  const procedure = tokens[1] ?? '';
  const place = isInside ? `In ${known(procedure, { title: titleOf(document, procedure) })}, ` : '';
  const own = isInside ? at.name.split('/').slice(1).join('/') : at.name;
  if (kind === 'procedure')
    return `The procedure ${key === 'title' ? own : known(own, { title: titleOf(document, own) })}`;
  const thing = `${kindWords[kind] ?? `the ${kind}`} ${own}`;
  return capital(`${place}${thing}${inBrackets(change, value, document, procedure)}`);
}

const titleOf = (document: Mapping, procedure: string): unknown =>
  mappingOf(mappingOf(document['procedures'])[procedure])['title'];

/** Its words, unless the change is about these very words. */
function inBrackets({ key, kind }: Found, value: unknown, document: Mapping, procedure: string): string {
  const { title, text, measurand, says, ...rest } = mappingOf(value);
  const all = { title, text, measurand, says, do: rest['do'], 'turn-until': rest['turn-until'] };
  const [named, words] = Object.entries(all).find(([, one]) => isText(one)) ?? [];
  if (isText(words)) return named === key ? '' : ` (${quoted(words)})`;
  if (kind === 'tolerance') {
    const of = wordsOf(ofName(document, procedure, rest['of']));
    return of === undefined ? ` of ${String(rest['of'])}` : ` of ${String(rest['of'])} (${quoted(of)})`;
  }
  const { joint } = mappingOf(rest['tighten']);
  if (isText(joint)) return ` (tightening of ${known(joint, mappingOf(document['joints'])[joint])})`;
  if (kind === 'perform') {
    const performed = String(rest['perform']);
    return ` (which performs ${known(performed, { title: titleOf(document, performed) })})`;
  }
  return '';
}

/** A reading or a calculated value of a procedure. */
function ofName(document: Mapping, procedure: string, name: unknown): unknown {
  const sections = mappingOf(mappingOf(document['procedures'])[procedure]);
  return ['readings', 'derived']
    .map((one) => mappingOf(sections[one])[String(name)])
    .find((one) => one !== undefined);
}

/** What names of a list mean, each with its words, wherever it is declared. */
export function namesInWords(names: readonly string[], { at }: Found, document: Mapping): string {
  const scopes = [mappingOf(mappingOf(document['procedures'])[at.scope]), document];
  const sections = [
    'hazards',
    'conditions',
    'readings',
    'tolerances',
    'roles',
    'equipment',
    'instruments',
    'supplies',
    'parts',
    'operations',
    'variants',
    'derived',
    'holds',
  ];
  return names
    .map((name) => {
      const found = scopes
        .flatMap((scope) => sections.map((one) => ({ one, value: mappingOf(scope[one])[name] })))
        .find(({ value }) => value !== undefined);
      const signal = mappingOf(found?.value)['signal'];
      const words = wordsOf(found?.value);
      if (found?.one === 'hazards' && isText(signal) && words !== undefined)
        return `${name} (${signal}: ${quoted(words)})`;
      return known(name, found?.value);
    })
    .join(', ');
}

const capital = (text: string): string => text.replace(/^./, (first) => first.toUpperCase());

/** The procedures that name a variant among those that they are for. */
export const proceduresFor = (document: Mapping, variant: string): readonly string[] =>
  Object.entries(mappingOf(document['procedures'])).flatMap(([name, value]) =>
    listOf(mappingOf(value)['variants']).includes(variant) ? [name] : [],
  );
