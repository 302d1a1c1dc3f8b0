import { type Pack, pointerTo } from '@ferrule/engine';
import type { Change } from '../change.ts';
import { has, isList, isMapping, mappingOf } from '../json.ts';

/** Something that a verdict is given by, and where it is written. */
export interface Written {
  readonly pointer: string;
  /** The variant that the plan is for. */
  readonly variant: string;
  /** Where its readings are declared, and the kinds of instruments that they are taken with. */
  readonly readings: readonly string[];
  readonly instruments: readonly string[];
}

/** Where everything stands that a verdict depends on, by what is named there: RFC 6901. */
export function pointersOf(pack: Pack, written: Written): readonly string[] {
  const [, sectionOf = '', procedure = ''] = written.pointer.split('/').map(unescaped);
  const document = sectionOf === 'procedures' ? mappingOf(mappingOf(pack.procedures)[procedure]) : {};
  const facts = mappingOf(mappingOf(mappingOf(pack.variants)[written.variant])['facts']);
  const found = new Set<string>([
    written.pointer,
    ...written.readings,
    ...written.instruments.map((one) => pointerTo('/instruments', one)),
  ]);
  const look = (name: string): void => {
    const fact = name.startsWith('variant.') ? name.slice('variant.'.length) : name;
    if (has(facts, fact)) found.add(pointerTo('/variants', written.variant, 'facts', fact));
    for (const section of ['tables', 'stock'] as const) {
      const all = mappingOf(pack[section]);
      if (has(all, name)) found.add(pointerTo('', section, name));
    }
    const derived = mappingOf(document['derived']);
    const pointer = pointerTo('/procedures', procedure, 'derived', name);
    if (!has(derived, name) || found.has(pointer)) return;
    found.add(pointer);
    namesIn(derived[name], look);
  };
  namesIn(at(pack, written.pointer), look);
  return [...found];
}

const unescaped = (token: string): string => token.replaceAll('~1', '/').replaceAll('~0', '~');

function at(pack: Pack, pointer: string): unknown {
  let value: unknown = pack;
  for (const token of pointer.split('/').slice(1).map(unescaped))
    value = isList(value) ? value[Number(token)] : isMapping(value) ? value[token] : undefined;
  return value;
}

/** Every text in a declaration without the place behind it: whatever it names is among them. */
function namesIn(value: unknown, look: (name: string) => void): void {
  if (typeof value === 'string') look(value.replace(/@.*$/, ''));
  else if (isList(value)) for (const one of value) namesIn(one, look);
  else if (isMapping(value)) for (const one of Object.values(value)) namesIn(one, look);
}

/** Whether a change is about one of these places and can make a verdict another. `variant` is the new name. */
export function bears(
  { weight, before, after, variants }: Change,
  was: readonly string[],
  is: readonly string[],
  variant: string,
): boolean {
  if (weight === 'wording' || variants?.includes(variant) === false) return false;
  return isInside(before?.pointer, was) || isInside(after?.pointer, is);
}

const isInside = (pointer: string | undefined, places: readonly string[]): boolean =>
  pointer !== undefined && places.some((one) => pointer === one || pointer.startsWith(`${one}/`));
