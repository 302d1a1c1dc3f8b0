type Map = Readonly<Record<string, unknown>>;

const isMap = (value: unknown): value is Map =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/**
 * Lays a document over another: maps are joined, and a map whose keys are all numbers over a list changes the items
 * of these numbers (the next number adds one). Everything else takes the place of what was there.
 */
export function laidOver(under: unknown, upper: unknown): unknown {
  if (!isMap(upper)) return upper;
  const entries = Object.entries(upper);
  if (Array.isArray(under) && entries.length > 0 && entries.every(([key]) => /^\d+$/.test(key))) {
    const items: unknown[] = [...under];
    for (const [key, value] of entries) items[Number(key)] = laidOver(items[Number(key)], value);
    return items;
  }
  if (!isMap(under)) return upper;
  return {
    ...under,
    ...Object.fromEntries(entries.map(([key, value]) => [key, laidOver(under[key], value)])),
  };
}

/** A document without the value at an RFC 6901 pointer. */
export function withoutValue(document: unknown, pointer: string): unknown {
  const [, token = '', rest] = /^\/([^/]*)(\/.*)?$/.exec(pointer) ?? [];
  const name = token.replaceAll('~1', '/').replaceAll('~0', '~');
  const entries = Object.entries(Object(document));
  if (!entries.some(([key]) => key === name)) throw new Error(`there is nothing at ${pointer}`);
  const left = entries.flatMap(([key, value]) => {
    if (key !== name) return [[key, value] as const];
    return rest === undefined ? [] : [[key, withoutValue(value, rest)] as const];
  });
  return Array.isArray(document) ? left.map(([, value]) => value) : Object.fromEntries(left);
}
