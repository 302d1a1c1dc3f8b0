/** A JSON value that a test takes apart. */
export type Json = string | boolean | null | Json[] | { [key: string]: Json };

/** One edit of a pack, as an author would make it; `at` is a place as the table of revisions explains. */
export type Edit =
  | { readonly set: string; readonly to: Json }
  | { readonly remove: string }
  | { readonly insert: Json; readonly into: string; readonly index: number }
  | { readonly move: string; readonly into?: string; readonly index: number }
  | { readonly rename: string; readonly to: string };

/** The document after the edits. Throws where a place is not there: then the table is wrong. */
export function edited(document: Json, edits: readonly Edit[]): Json {
  let made = structuredClone(document);
  for (const edit of edits) made = apply(made, edit);
  return made;
}

function apply(document: Json, edit: Edit): Json {
  if ('set' in edit) put(document, edit.set, edit.to);
  else if ('remove' in edit) take(document, edit.remove);
  else if ('insert' in edit) insert(document, edit.into, edit.index, edit.insert);
  else if ('move' in edit) {
    const keys = keysOf(document, edit.move);
    const into = edit.into === undefined ? keys.slice(0, -1) : keysOf(document, edit.into);
    const list = valueAt(document, into);
    const value = take(document, edit.move);
    if (!Array.isArray(list) || value === undefined) throw new Error(`${edit.move}: no list to move into`);
    list.splice(edit.index, 0, value);
  } else return renamed(document, edit.rename, edit.to);
  return document;
}

function keysOf(document: Json, place: string): readonly string[] {
  const [, law, lawRest = ''] = /^law:([a-z-]+)((?:\/.*)?)$/.exec(place) ?? [];
  if (law !== undefined)
    return ['interlocks', indexOf(valueAt(document, ['interlocks']), 'law', law, place), ...split(lawRest)];
  const [, procedure, node, rest = ''] = /^([a-z-]+)#([a-z-]+)((?:\/.*)?)$/.exec(place) ?? [];
  if (procedure === undefined || node === undefined) return split(place);
  const above = ['procedures', procedure];
  const found = nodeIn(valueAt(document, above), node);
  if (found === undefined) throw new Error(`${place}: no such node`);
  return [...above, ...found, ...split(rest)];
}

const split = (pointer: string): readonly string[] => pointer.split('/').slice(1);

function indexOf(list: Json | undefined, key: string, id: string, place: string): string {
  const index = Array.isArray(list) ? list.findIndex((one) => isMap(one) && one[key] === id) : -1;
  if (index < 0) throw new Error(`${place}: not there`);
  return String(index);
}

const isMap = (value: Json | undefined): value is { [key: string]: Json } =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** Keys that lead to the first node of a name. */
function nodeIn(value: Json | undefined, id: string): readonly string[] | undefined {
  if (isMap(value) && ['step', 'block'].some((key) => value[key] === id)) return [];
  const inner = Array.isArray(value) ? value.entries() : isMap(value) ? Object.entries(value) : [];
  for (const [key, one] of inner) {
    const found = nodeIn(one, id);
    if (found !== undefined) return [String(key), ...found];
  }
  return undefined;
}

function valueAt(document: Json, keys: readonly string[]): Json | undefined {
  let value: Json | undefined = document;
  for (const key of keys)
    value = Array.isArray(value) ? value[Number(key)] : isMap(value) ? value[key] : undefined;
  return value;
}

function around(document: Json, place: string): { readonly holder: Json; readonly key: string } {
  const keys = keysOf(document, place);
  const holder = valueAt(document, keys.slice(0, -1));
  const key = keys.at(-1);
  if (holder === undefined || key === undefined) throw new Error(`${place}: not there`);
  return { holder, key };
}

function put(document: Json, place: string, value: Json): void {
  const { holder, key } = around(document, place);
  if (Array.isArray(holder)) holder[Number(key)] = value;
  else if (isMap(holder)) holder[key] = value;
}

function take(document: Json, place: string): Json | undefined {
  const { holder, key } = around(document, place);
  if (Array.isArray(holder)) return holder.splice(Number(key), 1)[0];
  if (!isMap(holder) || !Object.hasOwn(holder, key)) throw new Error(`${place}: not there`);
  const value = holder[key];
  delete holder[key];
  return value;
}

function insert(document: Json, into: string, index: number, value: Json): void {
  const list = valueAt(document, keysOf(document, into));
  if (!Array.isArray(list)) throw new Error(`${into}: no list`);
  list.splice(index, 0, value);
}

/** Every key and every text that is the name, anywhere: names in the packs that are edited are used for one thing only. */
function renamed(document: Json, place: string, to: string): Json {
  const from = /[:#]/.test(place) ? (/[:#]([a-z-]+)$/.exec(place)?.[1] ?? '') : (split(place).at(-1) ?? '');
  const visit = (value: Json): Json => {
    if (value === from) return to;
    if (Array.isArray(value)) return value.map(visit);
    if (!isMap(value)) return value;
    return Object.fromEntries(
      Object.entries(value).map(([key, one]) => [key === from ? to : key, visit(one)]),
    );
  };
  if (valueAt(document, keysOf(document, place)) === undefined) throw new Error(`${place}: not there`);
  return visit(document);
}
