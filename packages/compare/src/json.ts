export type Mapping = Readonly<Record<string, unknown>>;

export const isMapping = (value: unknown): value is Mapping =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

export const isList = (value: unknown): value is readonly unknown[] => Array.isArray(value);

/** A mapping, or an empty one for anything else. */
export const mappingOf = (value: unknown): Mapping => (isMapping(value) ? value : {});

/** A list, or one item as a list of one, or none. */
export const listOf = (value: unknown): readonly unknown[] =>
  isList(value) ? value : value === undefined ? [] : [value];

export const textsOf = (value: unknown): readonly string[] =>
  listOf(value).filter((one) => typeof one === 'string');

export const has = (mapping: Mapping, key: string): boolean => Object.hasOwn(mapping, key);

export const isText = (value: unknown): value is string => typeof value === 'string';
