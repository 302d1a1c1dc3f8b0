import { pointerTo } from '@ferrule/engine';
import type { Comparison, Found } from '../comparison.ts';
import { has, isList, isMapping, isText, listOf, type Mapping, mappingOf, textsOf } from '../json.ts';

/** Something that the older revision held to and the newer one does not, and how it is put back. */
export interface Protection {
  /** The change that took it, by its place. */
  readonly change: number;
  /** What the older revision says of it. */
  readonly says: string;
  /** Where it stands in a newer document that has it again; guards below it come from it. */
  readonly pointer: string;
  readonly value: unknown;
}

/** Keys whose states have to hold, and which the proof looks at. */
const requirements: readonly string[] = ['requires', 'ends'];

/** The laws, requirements and ends that are gone or weaker, or of which it cannot be told, in the names of the newer revision. */
export function protectionsIn(c: Comparison): readonly Protection[] {
  const found = new Map<string, Protection>();
  const put = (one: Protection): void => void (found.has(one.pointer) || found.set(one.pointer, one));
  const kept = listOf(c.is['interlocks']).length;
  let appended = 0;
  c.found.forEach((one, change) => {
    if (one.effect === 'stronger' || ['renamed', 'reworded'].includes(one.change)) return;
    if (one.kind === 'law') {
      const old = mappingOf(at(c.was, one.at.before));
      if (!has(old, 'law')) return;
      const pointer = one.at.after === '' ? pointerTo('/interlocks', kept + appended++) : one.at.after;
      put({ change, says: String(old['says']), pointer, value: lawNow(c, old) });
    } else if (isRequirement(one)) {
      const key = one.key ?? '';
      const old = at(c.was, pointerTo(one.at.before, key));
      if (old === undefined) return;
      const pointer = pointerTo(one.at.after, key);
      put({ change, says: one.before?.says ?? '', pointer, value: c.inNewStates(old) });
    }
  });
  return [...found.values()];
}

const isRequirement = ({ key, at: where }: Found): boolean =>
  key !== undefined && requirements.includes(key) && where.before !== '' && where.after !== '';

/** A law of the older revision in the names of the newer one. */
function lawNow(c: Comparison, law: Mapping): Mapping {
  const operations = (value: unknown): unknown =>
    isList(value)
      ? textsOf(value).map((one) => c.renames.now(one, 'operations', ''))
      : isText(value)
        ? c.renames.now(value, 'operations', '')
        : value;
  return Object.fromEntries(
    Object.entries(law).map(([key, value]) => [
      key,
      ['forbid', 'operation'].includes(key)
        ? operations(value)
        : ['while', 'only-while', 'entering', 'never'].includes(key)
          ? c.inNewStates(value)
          : value,
    ]),
  );
}

const steps = (pointer: string): readonly string[] =>
  pointer
    .split('/')
    .slice(1)
    .map((one) => one.replaceAll('~1', '/').replaceAll('~0', '~'));

/** What stands at a pointer. */
export function at(document: unknown, pointer: string): unknown {
  let value = document;
  for (const key of steps(pointer))
    value = isList(value) ? value[Number(key)] : isMapping(value) && has(value, key) ? value[key] : undefined;
  return value;
}

/** The document with a value at a pointer; whatever is not on the way there is shared with it. */
export function withValue(document: unknown, pointer: string, value: unknown): unknown {
  const put = (here: unknown, [key, ...rest]: readonly string[]): unknown => {
    if (key === undefined) return value;
    if (isList(here) || (here === undefined && /^\d+$/.test(key))) {
      const list = [...listOf(here)];
      list[Number(key)] = put(list[Number(key)], rest);
      return list;
    }
    const mapping = mappingOf(here);
    return { ...mapping, [key]: put(mapping[key], rest) };
  };
  return put(document, steps(pointer));
}
