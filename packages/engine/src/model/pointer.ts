/** A JSON Pointer (RFC 6901) one or more keys further in. */
export function pointerTo(base: string, ...keys: readonly (string | number)[]): string {
  let pointer = base;
  for (const key of keys)
    pointer += `/${typeof key === 'string' && (key.includes('/') || key.includes('~')) ? escaped(key) : key}`;
  return pointer;
}

const escaped = (key: string): string => key.replaceAll('~', '~0').replaceAll('/', '~1');

/** The value that a pointer leads to in a JSON document; undefined when it leads nowhere. */
export function valueAt(document: unknown, pointer: string): unknown {
  let value = document;
  for (const part of pointer.split('/').slice(1)) {
    const key = part.replaceAll('~1', '/').replaceAll('~0', '~');
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, key)) return undefined;
    value = (value as Readonly<Record<string, unknown>>)[key];
  }
  return value;
}
